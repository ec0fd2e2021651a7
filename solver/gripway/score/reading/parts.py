"""The parts of a score: their list, the choice of one, and the bars of each."""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from gripway.errors import ScoreError
from gripway.score.xml.numerals import whole
from gripway.score.xml.xml_tree import Element

_FLUTE = re.compile(r"flute|flauto|flûte|flöte|fl\.|piccolo|ottavino|traverso", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PartInfo:
    """One part: its place in the score (from 1), id, name and transposition.

    `sounds_semitones` is added to a written pitch for the sounding one (12 for a piccolo,
    where the score says so). `chosen` marks the part that was read.
    """

    index: int
    id: str
    name: str
    sounds_semitones: int = 0
    chosen: bool = False


def score_parts(root: Element) -> tuple[list[PartInfo], list[list[Element]]]:
    """The parts of a score and, beside each, its measures.

    A score-timewise document is turned round: each of its measures holds all parts.
    """
    names = {
        part.attributes.get("id", ""): " ".join(part.text_of("part-name").split())
        for part in (root.find("part-list") or Element("", {}, 0)).all("score-part")
    }
    measures: dict[str, list[Element]] = {}
    if root.name == "score-timewise":
        for measure in root.all("measure"):
            for part in measure.all("part"):
                part_measure = Element("measure", measure.attributes, part.start)
                part_measure.children = part.children
                measures.setdefault(part.attributes.get("id", ""), []).append(part_measure)
    else:
        for place, part in enumerate(root.all("part"), start=1):
            identifier = part.attributes.get("id", "")
            measures[identifier if identifier not in measures else f"{identifier}.{place}"] = list(
                part.all("measure")
            )
    infos = [
        PartInfo(place, identifier, names.get(identifier, ""), _sounds_semitones(bars))
        for place, (identifier, bars) in enumerate(measures.items(), start=1)
    ]
    return infos, list(measures.values())


def _sounds_semitones(measures: Sequence[Element]) -> int:
    """Semitones from written to sounding pitch by the first <transpose> of a part."""
    for measure in measures:
        for attributes in measure.all("attributes"):
            if (transpose := attributes.find("transpose")) is not None:
                chromatic, octaves = transpose.text_of("chromatic"), transpose.text_of("octave-change")
                return (whole(chromatic) or 0) + 12 * (whole(octaves) or 0)
    return 0


def choose_part(parts: Sequence[PartInfo], wanted: str | None, name: str) -> tuple[PartInfo, str]:
    """The part asked for by name, id or number (from 1), and a remark on a choice not asked for.

    Without a wish: the only part, else the first that is named like a flute, else the first.
    Raises ScoreError listing the parts.
    """
    if wanted is not None:
        return _wished(parts, wanted.strip(), name), ""
    if len(parts) == 1:
        return parts[0], ""
    flutes = [part for part in parts if _FLUTE.search(part.name)]
    part = (flutes or list(parts))[0]
    why = "the first flute" if flutes else "the first, as none is named a flute"
    return part, f"{len(parts)} parts; read part {part.index}, {title_of(part)} ({why})"


def flute_parts(parts: Sequence[PartInfo], transpositions: Collection[int]) -> list[PartInfo]:
    """The parts of the flute family: those named like one, and nameless ones that transpose like one.

    `transpositions` are semitones from written to sounding pitch, of the flutes that transpose.
    """
    return [
        part
        for part in parts
        if _FLUTE.search(part.name) or (not part.name and part.sounds_semitones in transpositions)
    ]


def _wished(parts: Sequence[PartInfo], wanted: str, name: str) -> PartInfo:
    folded = " ".join(wanted.casefold().split())
    for matches in (
        [part for part in parts if part.name.casefold() == folded or part.id == wanted],
        [part for part in parts if str(part.index) == wanted],
        [part for part in parts if folded and folded in part.name.casefold()],
    ):
        if matches:
            return matches[0]
    listed = "; ".join(f"{part.index} {title_of(part)}" for part in parts)
    raise ScoreError(
        f"there is no part {wanted!r}", place=name, next_step=f"Choose one by number or name: {listed}"
    )


def title_of(part: PartInfo) -> str:
    """The name of a part, or its id where it has none."""
    return part.name or part.id or f"part {part.index}"
