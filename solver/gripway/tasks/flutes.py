"""The flute to play on and the player who has it."""

from collections.abc import Iterable
from pathlib import Path

from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.player import Player

DEFAULT_INSTRUMENT = "concert-flute"


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
            text = f"the part sounds {sounds_semitones:+d} semitones: read as {chosen_flute.title}"
            return chosen_flute, Remark(text)
    fallback = load_instrument(DEFAULT_INSTRUMENT, (*_own_parts(player, DEFAULT_INSTRUMENT), *parts))
    return fallback, Remark(
        f"no flute of the tables sounds {sounds_semitones:+d} semitones: read as {DEFAULT_INSTRUMENT}"
    )


def _own_parts(player: Player, instrument: str) -> tuple[str, ...]:
    """The player's parts, if this is the flute they belong to."""
    own = load_instrument(player.instrument or DEFAULT_INSTRUMENT).id
    return player.parts if load_instrument(instrument).id == own else ()


def flute(name: str = DEFAULT_INSTRUMENT, parts: Iterable[str] = ()) -> Instrument:
    """A flute by name (concert-flute, piccolo, alto-flute, bass-flute) with its optional parts."""
    return load_instrument(name, parts)


def player(path: str | Path) -> Player:
    """The player of a TOML file; PlayerFileError names file and key."""
    from gripway.catalog.own_files.player_file import read_player

    return read_player(Path(path))
