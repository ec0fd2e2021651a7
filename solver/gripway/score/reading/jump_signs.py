"""Repeats, endings and jumps as written in the bars of a part."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.xml.numerals import whole
from gripway.score.xml.xml_tree import Element

_WORDS = (
    ("dacapo", re.compile(r"(^|[\s(])d\. ?c\.|\bda ?capo\b|^dc\b", re.IGNORECASE)),
    (
        "dalsegno",
        re.compile(r"(^|[\s(])d\. ?s\.|\bdal? ?segno\b|^ds\b|^dal? [\U0001d10b\u2042%§]", re.IGNORECASE),
    ),
    ("tocoda", re.compile(r"^\W*(to|al|alla|zur|à la) +(the +)?coda\b\W*$", re.IGNORECASE)),
    ("coda", re.compile(r"^\W*coda\W*$", re.IGNORECASE)),
    ("fine", re.compile(r"^\W*fine\b\W*$|^fine (del|della|of) ", re.IGNORECASE)),
    ("segno", re.compile(r"^\W*segno\W*$", re.IGNORECASE)),
)
"""How jumps are spelt where no <sound> says them (common practice, no source)."""

_TO = re.compile(r"^\W*(to|al|alla)\W*$", re.IGNORECASE)
"""Before a coda sign: leave here for the coda."""

_TRIO = re.compile(r"^\W*trio\b|^\W*maggiore\W*$|^\W*minore\W*$", re.IGNORECASE)
"""The heading of a middle section; what stands before it ends with a Fine, said or not."""

_LIKE_A_JUMP = re.compile(r"\b(capo|segno|coda|fine|d\. ?[cs]\.)(?!\w)", re.IGNORECASE)
_AL_FINE, _AL_CODA = (
    re.compile(rf"\b(al|alla|to)\b.*\b{word}\b", re.IGNORECASE) for word in ("fine", "coda")
)


@dataclass(slots=True)
class BarJumps:
    """What one bar says about the order of playing.

    `backward` is how often the section is played (0: no repeat here); `ending` the numbers of
    an ending that starts here, `ending_stop` whether one ends here. Labels pair a segno with
    its D.S., a coda with its "to coda"; None where the mark is absent.
    """

    forward: bool = False
    backward: int = 0
    ending: frozenset[int] = frozenset()
    ending_stop: bool = False
    segno: str | None = None
    coda: str | None = None
    tocoda: str | None = None
    dalsegno: str | None = None
    dacapo: bool = False
    fine: bool = False
    trio: bool = False
    words: list[str] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)


def read_jumps(bars: Sequence[PlacedBar]) -> list[BarJumps]:
    """The jumps of each bar, from barlines, <sound> attributes, signs and words.

    `words` are those that were taken for a jump, `strange` those like one that were not.
    """
    jumps = []
    for bar in bars:
        here = BarJumps()
        for element, at, _ in bar.elements:
            if element.name == "barline":
                _barline(here, element, at_start=at == 0 and bar.length > 0)
            elif element.name in ("direction", "sound"):
                _direction(here, element)
        jumps.append(here)
    _pair_coda_signs(jumps)
    _end_before_trio(jumps)
    return jumps


def unfollowed(jumps: Sequence[BarJumps]) -> Iterator[tuple[int, str]]:
    """Bar indices and words for every jump that is written and leads nowhere, or was not understood."""
    fine = any(bar.fine for bar in jumps)
    first_segno = next((k for k, bar in enumerate(jumps) if bar.segno is not None), len(jumps))
    last_coda = max((k for k, bar in enumerate(jumps) if bar.coda is not None), default=-1)
    for place, bar in enumerate(jumps):
        for text in bar.strange:
            yield place, f"the words {text!r} may mean a jump and are not followed"
        if bar.dalsegno is not None and first_segno > place:
            yield place, "dal segno, but there is no segno before it: not followed"
        if bar.tocoda is not None and last_coda <= place:
            yield place, "to the coda, but there is none after it: not followed"
        if not (bar.dacapo or bar.dalsegno is not None):
            continue
        said = " ".join(bar.words)
        if bar.dacapo and not fine and not any(each.tocoda is not None for each in jumps):
            yield place, "da capo without a Fine: all of it is played again"
            continue
        if _AL_FINE.search(said) and not fine:
            yield place, "al Fine, but no Fine is written: all of it is played again"
        if _AL_CODA.search(said) and not any(each.tocoda is not None for each in jumps):
            yield place, "al Coda, but nothing says where one leaves for it: played on"


def _barline(here: BarJumps, element: Element, *, at_start: bool) -> None:
    location = element.attributes.get("location", "right")
    if (repeat := element.find("repeat")) is not None:
        if repeat.attributes.get("direction") == "forward":
            here.forward = True
        else:
            here.backward = max(2, whole(repeat.attributes.get("times", "")) or 2)
    for ending in element.all("ending"):
        kind = ending.attributes.get("type")
        if kind == "start":
            numbers = re.findall(r"[0-9]{1,9}", ending.attributes.get("number", "")) or re.findall(
                r"[0-9]{1,9}", ending.text
            )
            here.ending = frozenset(int(number) for number in numbers)
        elif kind in ("stop", "discontinue") and not (location == "left" and at_start):
            here.ending_stop = True
    for name in ("segno", "coda"):
        if element.attributes.get(name) or element.find(name) is not None:
            setattr(here, name, element.attributes.get(name, ""))


def _direction(here: BarJumps, element: Element) -> None:
    sound = element if element.name == "sound" else element.find("sound")
    said = sound.attributes if sound is not None else {}
    here.segno = said.get("segno", here.segno)
    here.coda = said.get("coda", here.coda)
    here.tocoda = said.get("tocoda", here.tocoda)
    here.dalsegno = said.get("dalsegno", here.dalsegno)
    here.dacapo = here.dacapo or said.get("dacapo") == "yes"
    here.fine = here.fine or "fine" in said
    here.forward = here.forward or said.get("forward-repeat") == "yes"
    if not set(said) & {"segno", "coda", "tocoda", "dalsegno", "dacapo", "fine"}:
        _signs(here, element)


def _signs(here: BarJumps, element: Element) -> None:
    """Jumps written as signs or words only; a coda sign beside `To Coda` is where one leaves."""
    kinds = list(element.inside("direction-type"))
    texts = [" ".join(kind.text.split()) for kind in kinds if kind.name in ("words", "rehearsal")]
    signs = {kind.name for kind in kinds} & {"segno", "coda"}
    leaves = "coda" in signs and any(_TO.search(text) for text in texts)
    names = {name for text in texts for name in _names_in(here, text)} | ({"tocoda"} if leaves else set())
    if names & {"tocoda", "dacapo", "dalsegno"}:  # a sign beside these words is what they speak of
        signs = set()
    for name in names | signs:
        setattr(here, name, True if name in ("dacapo", "fine") else "")


def _names_in(here: BarJumps, text: str) -> Iterator[str]:
    """What a text says of jumps; one that only looks like a jump is kept."""
    here.trio = here.trio or bool(_TRIO.search(text))
    found = [name for name, pattern in _WORDS if pattern.search(text)]
    if found:
        here.words.append(text)
        yield found[0]
    elif _LIKE_A_JUMP.search(text):
        here.strange.append(text)


def _end_before_trio(jumps: list[BarJumps]) -> None:
    """A da capo without any Fine ends where the middle section begins."""
    if any(bar.fine or bar.tocoda is not None for bar in jumps):
        return
    trio = 0
    for place, bar in enumerate(jumps):
        trio = place if bar.trio else trio
        if bar.dacapo and trio:
            jumps[trio - 1].fine = True
            return


def _pair_coda_signs(jumps: list[BarJumps]) -> None:
    """Two coda signs and no "to coda": the first is where one leaves for the second."""
    signs = [bar for bar in jumps if bar.coda is not None]
    if len(signs) > 1 and all(bar.tocoda is None for bar in jumps):
        signs[0].tocoda, signs[0].coda = signs[-1].coda, None
