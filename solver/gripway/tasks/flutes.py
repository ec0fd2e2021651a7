"""The flute to play on and the player who has it."""

from collections.abc import Iterable
from pathlib import Path

from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.display import counted
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.player import Player

DEFAULT_INSTRUMENT = "concert-flute"
OCTAVE = 12
"""Semitones."""


def choose_instrument(
    name: str | None, parts: Iterable[str], player: Player, sounds_semitones: int = 0
) -> tuple[Instrument, Remark | None]:
    """The flute to play on, and a remark where it was concluded from a part's transposition.

    What is asked for beats the player's file, which beats the score; the player's parts belong
    to the player's own flute and are not asked of another. Raises RequestError for
    an unknown instrument or part.
    """
    wanted = name or player.instrument
    if wanted is not None or sounds_semitones == 0:
        chosen = wanted or DEFAULT_INSTRUMENT
        return load_instrument(chosen, (*_own_parts(player, chosen), *parts)), None
    for known in instrument_names():
        if load_instrument(known).sounds_semitones == sounds_semitones:
            chosen_flute = load_instrument(known, (*_own_parts(player, known), *parts))
            text = f"the part sounds {_interval_words(sounds_semitones)}: read as {chosen_flute.title}"
            return chosen_flute, Remark(text)
    fallback = load_instrument(DEFAULT_INSTRUMENT, (*_own_parts(player, DEFAULT_INSTRUMENT), *parts))
    return fallback, Remark(
        f"no flute of the tables sounds {_interval_words(sounds_semitones)}: read as {DEFAULT_INSTRUMENT}"
    )


def _interval_words(semitones: int) -> str:
    """How far from what is written a part sounds."""
    way = "higher" if semitones > 0 else "lower"
    size = "an octave" if abs(semitones) == OCTAVE else counted(abs(semitones), "semitone")
    return f"{size} {way} than written"


def _own_parts(player: Player, instrument: str) -> tuple[str, ...]:
    """The player's parts, if this is the flute they belong to."""
    own = load_instrument(player.instrument or DEFAULT_INSTRUMENT).id
    return player.parts if load_instrument(instrument).id == own else ()


def fitted(instrument: Instrument, player: Player) -> Instrument:
    """The instrument with the parts its player's own one has; another instrument than theirs as it is.

    Raises RequestError for parts no flute has together.
    """
    if set(player.parts) <= set(instrument.parts):
        return instrument
    own = _own_parts(player, instrument.id)
    return load_instrument(instrument.id, (*instrument.parts, *own)) if own else instrument


def flute(name: str | None = DEFAULT_INSTRUMENT, parts: Iterable[str] = ()) -> Instrument:
    """A flute by name, such as concert-flute or piccolo, with its optional parts.

    A name is a folder of `tables/instruments`, or another name that flute has; None, as the
    `instrument` of a player whose file names none, is the concert flute. `parts` are names, or one text
    with commas. `known_parts` of the answer are those there are, `lowest` and `highest` note numbers
    (C4 is 60) of its written range. Raises RequestError for a name or a part that is not there, and for
    parts no flute has together. A flute of your own: see `use_tables`. Source: `gripway tables
    --sources`.

    >>> import gripway
    >>> gripway.flute("concert-flute", ["split-e", "b-foot"])
    <Instrument: concert flute, b-foot, split-e, B3 to E7>
    """
    return load_instrument(name or DEFAULT_INSTRUMENT, parts)


def player(path: str | Path) -> Player:
    """The player of a TOML file: flute, parts, dials, hands, bans, known grips, tuner list.

    Raises PlayerFileError, which names file and key. `gripway help player_file` has every key.

    >>> import gripway
    >>> gripway.player("examples/player.toml").instrument
    'concert-flute'
    """
    from gripway.catalog.own_files.player_file import read_player

    return read_player(Path(path))


def use_tables(folder: str | Path | None) -> tuple[str, ...]:
    """From now on the tables of a folder of yours count over ours; None: ours alone again.

    The folder is laid out as ours is (`gripway about` says where that stands), with only the files that
    differ: a flute of your own is `instruments/NAME/instrument.toml`, its grips `grips/NAME.csv`. Gives
    the tables found. The command takes the same folder from the environment variable GRIPWAY_TABLES.
    Raises RequestError for a folder without a table; a table that breaks its rules raises TableError
    when it is read. Flutes and FlutePlayers made before keep what they had.

    >>> import gripway
    >>> gripway.use_tables(None)
    ()
    """
    from gripway.catalog.own_files.own_tables import use_own_tables

    return use_own_tables(None if folder is None else Path(folder))
