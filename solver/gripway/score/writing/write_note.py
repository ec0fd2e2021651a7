"""One printed note or rest as a MusicXML note element."""

from collections.abc import Iterator
from dataclasses import dataclass

from gripway.errors import RequestError
from gripway.model.passage import Note, Ornament
from gripway.model.pitch import Pitch
from gripway.score.reading.read_notes import FERMATA
from gripway.score.spelling import BarSpelling
from gripway.score.writing.bar_filling import PrintedNote

ACCIDENTAL_NAMES = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
ORNAMENT_SIGNS = {
    "trill": "trill-mark",
    "mordent": "mordent",
    "inverted-mordent": "inverted-mordent",
    "turn": "turn",
    "inverted-turn": "inverted-turn",
}
ARTICULATIONS = frozenset(
    {
        "accent",
        "strong-accent",
        "staccato",
        "tenuto",
        "detached-legato",
        "staccatissimo",
        "spiccato",
        "stress",
        "breath-mark",
        "caesura",
    }
)
"""Articulations that are an empty element, or can be."""


@dataclass(frozen=True, slots=True)
class NoteSurroundings:
    """What a printed note has from its surroundings; texts are escaped already."""

    duration: int
    slurs: tuple[str, ...] = ()
    beams: tuple[str, ...] = ()
    tuplets: tuple[str, ...] = ()
    fingering: str = ""
    lyric: str = ""


def write_note(
    printed: PrintedNote, note: Note | None, place: NoteSurroundings, spelling: BarSpelling
) -> str:
    """The element of a note (of a rest, where `note` is None); `spelling` learns its accidental.

    Raises RequestError for an octave MusicXML has no number for.
    """
    value = printed.value
    parts = ['<grace slash="yes"/>'] if printed.grace else []
    parts.append(_pitch(note.pitch) if note else '<rest measure="yes"/>' if printed.whole_bar else "<rest/>")
    parts += [] if printed.grace else [f"<duration>{place.duration}</duration>"]
    ties = _ties(printed, note)
    parts += [f'<tie type="{kind}"/>' for kind in ties]
    parts.append("<voice>1</voice>")
    if not printed.whole_bar:
        parts += [f"<type>{value.type}</type>", *["<dot/>"] * value.dots]
    if note is not None and printed.first:
        parts += _accidental(note.pitch, spelling)
    if value.actual > 1:
        parts.append(
            f"<time-modification><actual-notes>{value.actual}</actual-notes>"
            f"<normal-notes>{value.normal}</normal-notes></time-modification>"
        )
    if note is not None and note.held_over and printed.first:
        parts.append('<notehead parentheses="yes">normal</notehead>')
    parts += [f'<beam number="{n}">{beam}</beam>' for n, beam in enumerate(place.beams, start=1) if n <= 8]
    notations = "".join(_notations(printed, note, place, ties, spelling))
    parts += [f"<notations>{notations}</notations>"] if notations else []
    if place.lyric:
        parts.append(f'<lyric number="1"><text>{place.lyric}</text></lyric>')
    return f"<note>{''.join(parts)}</note>"


def _pitch(pitch: Pitch) -> str:
    if not 0 <= pitch.octave <= 9:
        raise RequestError(
            f"{pitch.name} cannot be written in a score", next_step="Octaves go from 0 to 9; C4 is middle C"
        )
    alter = f"<alter>{pitch.alter}</alter>" if pitch.alter else ""
    return f"<pitch><step>{pitch.step}</step>{alter}<octave>{pitch.octave}</octave></pitch>"


def _ties(printed: PrintedNote, note: Note | None) -> list[str]:
    if note is None or printed.grace:
        return []
    return ["stop"] * (note.held_over or not printed.first) + ["start"] * (not printed.last)


def _accidental(pitch: Pitch, spelling: BarSpelling) -> list[str]:
    """The accidental, where the key and the bar so far say something else."""
    shown = spelling.met.get((pitch.step, pitch.octave), spelling.key.get(pitch.step, 0))
    spelling.meet(pitch)
    return [f"<accidental>{ACCIDENTAL_NAMES[pitch.alter]}</accidental>"] if pitch.alter != shown else []


def _notations(
    printed: PrintedNote, note: Note | None, place: NoteSurroundings, ties: list[str], spelling: BarSpelling
) -> Iterator[str]:
    yield from (f'<tied type="{kind}"/>' for kind in ties)
    yield from (f'<slur type="{kind}" number="1"/>' for kind in place.slurs)
    yield from (f'<tuplet type="{kind}"/>' for kind in place.tuplets)
    if note is None:
        return
    ornaments = [f'<tremolo type="single">{note.strokes}</tremolo>'] if note.strokes else []
    if printed.first and note.ornament is not None and note.ornament.kind in ORNAMENT_SIGNS:
        ornaments[:0] = _ornament(note.pitch, note.ornament, spelling)
    if ornaments:
        yield f"<ornaments>{''.join(ornaments)}</ornaments>"
    if FERMATA in note.articulations and printed.last:
        yield "<fermata/>"
    if not printed.first:
        return
    if place.fingering:
        yield f'<technical><fingering placement="below">{place.fingering}</fingering></technical>'
    signs = [name for name in note.articulations if name in ARTICULATIONS]
    if signs:
        yield f"<articulations>{''.join(f'<{name}/>' for name in signs)}</articulations>"


def _ornament(pitch: Pitch, ornament: Ornament, spelling: BarSpelling) -> Iterator[str]:
    """The sign with the accidental of each neighbour for which key and bar so far say something else."""
    start = ' start-note="upper"' if ornament.from_upper else ""
    yield f"<{ORNAMENT_SIGNS[ornament.kind]}{start}/>"
    for placement, neighbour in (("above", ornament.upper), ("below", ornament.lower)):
        if neighbour is not None and neighbour != spelling.neighbour(
            pitch, 1 if placement == "above" else -1
        ):
            name = ACCIDENTAL_NAMES[neighbour.alter]
            yield f'<accidental-mark placement="{placement}">{name}</accidental-mark>'
    if ornament.ending is not None:
        yield "<turn/>"
        if ornament.ending != spelling.neighbour(pitch, -1):
            name = ACCIDENTAL_NAMES[ornament.ending.alter]
            yield f'<accidental-mark placement="below">{name}</accidental-mark>'
