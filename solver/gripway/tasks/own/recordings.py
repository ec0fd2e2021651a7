"""A player's own recordings: their cents measured, and kept in the player's own list."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import log2
from pathlib import Path
from typing import TYPE_CHECKING

from gripway.errors import ArgumentError, RequestError, check_kind
from gripway.model.grip import Grip
from gripway.model.mark_text import grip_of
from gripway.model.passage import Remark
from gripway.model.pitch import asked_pitch, plain_name
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.tasks.flute_player import Flute, FlutePlayer, flute_player
from gripway.tasks.flutes import flute as flute_called
from gripway.tasks.own.day import day_of
from gripway.units import A4_HZ, CENTS_PER_OCTAVE, frequency_hz

if TYPE_CHECKING:
    from gripway.catalog.tables.listening_figures import CentsFigures
    from gripway.effort.candidate import Tendency
    from gripway.listening.listened import Listened
    from gripway.listening.listened import take_frame as take_frame
    from gripway.listening.sounding import Sounding
    from gripway.listening.takes import Asked, Take
    from gripway.sound.recording import Recording

MOST_GRIPS = 60
"""So many grips in one recording: half an hour of playing."""


def listen(
    recording: "Recording | str | Path",
    grips: Iterable[str],
    instrument: Flute | None = None,
    player: Player = PLAIN_PLAYER,
    *,
    reference_hz: float | None = None,
) -> "Listened":
    """A player's own cents from a recording of named grips, each against the standard grip of its pitch.

    `recording` is a WAV file (with the extra `sound` FLAC and others) or what was read from one, `grips`
    are `PITCH=GRIP` in the order of playing, of written pitches: of each grip three takes of the standard
    grip, three of this one, three of the standard one again, a breath between any two. Cents are counted
    from equal temperament at `reference_hz` (A4), without it at the pitch of the player's own standard
    grips; a range is never told narrower than 3 cents. Takes that cannot be used say why. No sound leaves
    the machine, and none is kept. Raises RecordingError for a recording that cannot be read,
    RequestError for a grip that cannot be asked for.

    >>> import gripway
    >>> gripway.listen("examples/f_sharp_takes.wav", ["F#6=T 1 3 | 2 Eb"]).measured[0].vs_standard
    -7.4
    """
    from gripway.catalog.tables.listening_figures import cents_figures
    from gripway.listening.sounding import soundings
    from gripway.listening.takes import takes_of
    from gripway.sound.reading import check_there, recording_given

    check_there(recording)
    mine = flute_player(flute_called(player.instrument) if instrument is None else instrument, player)
    asked, expected, remarks = _asked(grips, mine)
    heard, figures = recording_given(recording), cents_figures()
    notes = soundings(heard, min(each.hz for each in asked), figures)
    takes = takes_of(heard, notes, asked, figures)
    source, length_s = heard.source, heard.length_s
    return _listened(source, length_s, mine, asked, takes, expected, remarks, notes, reference_hz)


def listen_to_takes(
    takes: Iterable["Take"], grip: str, instrument: Flute, player: Player = PLAIN_PLAYER
) -> "Listened":
    """The same as `listen` where the takes of one grip were heard one by one, as from a microphone.

    Raises RequestError for a grip that cannot be asked for.
    """
    mine, heard = flute_player(instrument, player), tuple(takes)
    asked, expected, remarks = _asked([grip], mine)
    length_s = max((take.end_s for take in heard), default=0.0)
    return _listened("microphone", length_s, mine, asked, heard, expected, remarks)


def _listened(
    source: str,
    length_s: float,
    mine: FlutePlayer,
    asked: "list[Asked]",
    takes: "tuple[Take, ...]",
    expected: "list[Tendency]",
    remarks: list[Remark],
    notes: "tuple[Sounding, ...]" = (),
    reference_hz: float | None = None,
) -> "Listened":
    """What the takes say."""
    from gripway.catalog.tables.listening_figures import cents_figures
    from gripway.listening.listened import Listened
    from gripway.listening.own_cents import heard

    figures = cents_figures()
    given_cents = None if reference_hz is None else CENTS_PER_OCTAVE * log2(reference_hz / A4_HZ)
    found = heard(asked, takes, expected, figures, given_cents)
    said = Listened(
        source=source,
        length_s=length_s,
        instrument=mine.instrument.id,
        asked=tuple(asked),
        takes=takes,
        notes=notes,
        measured=found.measured,
        reference_cents=found.reference_cents,
        reckoned_from=found.reckoned_from,
    )
    return replace(said, remarks=(*remarks, *_reference_remarks(said, figures)))


def _reference_remarks(found: "Listened", figures: "CentsFigures") -> Iterator[Remark]:
    """What is to be said of an A4 that flutes are not tuned to."""
    low, high = figures.reference_low_hz, figures.reference_high_hz
    if found.reference_hz is not None and not low <= found.reference_hz <= high:
        yield Remark(
            f"an A4 of {found.reference_hz:.1f} Hz lies outside {low:g} to {high:g}: "
            f"tune first, or give your A4: reference_hz={A4_HZ:g}"
        )


def keep_cents(found: "Listened", path: str | Path, date: str) -> None:
    """Add what was measured to a tuner's list, which is made where there is none, as of a day (YYYY-MM-DD).

    Rows that are there stay; of each grip the latest day counts. The player's file names the list
    (`cents.file`), and `player` reads it. Raises PlayerFileError for a list that cannot be read, RequestError
    for a day that is none, or where there is nothing to keep.

    >>> import gripway
    >>> found = gripway.listen("examples/f_sharp_takes.wav", ["F#6=T 1 3 | 2 Eb"])
    >>> gripway.keep_cents(found, "/tmp/own_cents.csv", "2026-11-29")
    """
    from gripway.catalog.own_files.tuner_list import add_cents

    day = day_of(date)
    if not found.measured:
        raise RequestError("nothing was measured", place="listen", next_step="Record the takes again")
    add_cents(Path(path), found.readings(day))


def _asked(grips: Iterable[str], mine: FlutePlayer) -> tuple[list["Asked"], list["Tendency"], list[Remark]]:
    """The grips asked for, the tendency of each one's standard grip, and what is to be said of them."""
    from gripway.effort.tendency import NOTHING_KNOWN
    from gripway.listening.takes import Asked

    texts = [grips] if isinstance(grips, str) else [*grips]
    if not 1 <= len(texts) <= MOST_GRIPS:
        raise ArgumentError(
            f"{len(texts)} grips are asked for",
            place="grips",
            next_step=f'Name 1 to {MOST_GRIPS}, as "F#6=T 1 3 | 2 Eb"',
        )
    book, instrument = mine.plain.book, mine.instrument
    asked: list[Asked] = []
    expected: list[Tendency] = []
    remarks: list[Remark] = []
    for text in texts:
        pitch, grip = _pitched(text)
        row = book.standard_row(pitch)
        if row is None:
            raise RequestError(
                f"{plain_name(pitch)} has no standard grip on this flute",
                place=text,
                next_step=f"gripway grips {plain_name(pitch)} says why",
            )
        if grip == row.grip or (pitch, grip) in {(each.pitch, each.grip) for each in asked}:
            what = "is the standard grip itself" if grip == row.grip else "is asked for twice"
            raise RequestError(what, place=text, next_step="Name the other grip to be compared with it, once")
        instrument.mechanism.holds(grip)
        if all(each.grip != grip for each in book.rows(pitch)):
            name = f"{plain_name(pitch)} {grip.short}"
            remarks.append(Remark(f"{name} is in no table: its cents are kept, but no route takes it"))
        standard = book.plain(row)
        asked.append(Asked(pitch, grip, row.grip, frequency_hz(pitch + instrument.sounds_semitones)))
        expected.append(standard.tendency if standard else NOTHING_KNOWN)
    return asked, expected, remarks


def _pitched(text: str) -> tuple[int, Grip]:
    """Pitch and grip of `PITCH=GRIP`."""
    check_kind(text, str, "grip", 'Write "F#6=T 1 3 | 2 Eb"')
    pitch, equals, grip = text.partition("=")
    if not equals:
        raise ArgumentError(
            f"{text!r} names no pitch and grip", place="grips", next_step='Write "F#6=T 1 3 | 2 Eb"'
        )
    return asked_pitch(pitch.strip(), text).number, grip_of(grip, text)
