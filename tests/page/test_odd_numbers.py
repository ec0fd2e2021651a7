"""Numbers of a damaged score at which the engraver ends the process: what states them is not drawn."""

import pytest
from tests.score.small_scores import bar, direction, note, read, score

from gripway.page.engraving.engrave import engrave
from gripway.page.engraving.sheet_xml import sheet_xml

HALF = "<type>half</type>"
FRACTIONS = ("root-alter", "bass-alter")
TOO_SHORT = ("2147483648", "99999")
"""Beats that the reading refuses, with their bar."""

NOT_NUMBERS = ("x", "", "\u0663", "0.5", "-2147483648", "2147483648", "99999")


def _attributes(inner: str) -> bytes:
    return score(bar(note("C5", 8, after=HALF) + note("D5", 8, after=HALF), attributes=inner))


def _tremolo(number: str, kind: str) -> bytes:
    other = {"start": "stop", "stop": "start"}.get(kind, "")
    ornament = "<notations><ornaments><tremolo type='{}'>{}</tremolo></ornaments></notations>".format
    first, second = (note("C5", 8, after=HALF + ornament(kind, number)), note("D5", 8, after=HALF))
    if other:
        second = note("D5", 8, after=HALF + ornament(other, 3))
    return score(bar(first + second if kind != "stop" else second + first))


def _harmony(root: str = "0", inversion: str = "0", value: str = "5", alter: str = "0") -> bytes:
    return score(
        bar(
            f"<harmony><root><root-step>C</root-step><root-alter>{root}</root-alter></root>"
            f"<kind>major</kind><inversion>{inversion}</inversion><bass><bass-step>E</bass-step>"
            f"<bass-alter>{alter}</bass-alter></bass><degree><degree-value>{value}</degree-value>"
            f"<degree-alter>{alter}</degree-alter><degree-type>add</degree-type></degree></harmony>"
            + note("C5", 8, after=HALF)
            + note("D5", 8, after=HALF)
        )
    )


STATED = {
    "staves": lambda text: _attributes(f"<staves>{text}</staves>"),
    "staff": lambda text: score(bar(note("C5", 8, after=f"{HALF}<staff>{text}</staff>") + note("D5", 8))),
    "staff-lines": lambda text: _attributes(
        f"<staff-details><staff-lines>{text}</staff-lines></staff-details>"
    ),
    "beat-type": lambda text: _attributes(f"<time><beats>4</beats><beat-type>{text}</beat-type></time>"),
    "multiple-rest": lambda text: _attributes(
        f"<measure-style><multiple-rest>{text}</multiple-rest></measure-style>"
    ),
    "tremolo": lambda text: _tremolo(text, "start"),
    "tremolo of one": lambda text: _tremolo(text, "single"),
    "tremolo, end": lambda text: _tremolo(text, "stop"),
    "display-octave": lambda text: score(
        bar(
            f"<note><rest><display-step>B</display-step><display-octave>{text}</display-octave></rest>"
            "<duration>4</duration></note>" + note("C5", 8, after=HALF) + note("D5", 4)
        )
    ),
    "root-alter": lambda text: _harmony(root=text),
    "inversion": lambda text: _harmony(inversion=text),
    "degree-value": lambda text: _harmony(value=text),
    "bass-alter": lambda text: _harmony(alter=text),
}
"""A score of two notes that states a number."""

EDGES = {
    "staves": ("1", "20", "0", "21"),
    "staff-lines": ("0", "20", "-1", "21"),
    "beat-type": ("1", "1024", "0"),
    "multiple-rest": ("1", "9999", "0", "10000"),
    "tremolo": ("0", "8", "-1", "9"),
    "display-octave": ("0", "9", "-1", "10"),
    "inversion": ("0", "99", "-1", "100"),
    "degree-value": ("1", "99", "0", "100"),
    "root-alter": ("-9", "9", "-10", "10"),
}
"""The least and the most that are drawn, and those beside them."""


@pytest.mark.parametrize("name", STATED)
def test_the_engraver_never_sees_a_number_at_which_it_ends_the_process(name: str) -> None:
    """Not a number, a fraction, a huge one: all that goes is what states it, and both notes are drawn."""
    element = name.replace(",", "").split()[0]
    for text in NOT_NUMBERS if element not in FRACTIONS else NOT_NUMBERS[:3]:
        if element == "beat-type" and text in TOO_SHORT:
            continue
        reading = read(STATED[name](text))
        assert f">{text}</{element}>" not in sheet_xml(reading).text
        assert sum(len(system.notes) for system in engrave(reading).systems) >= 2


@pytest.mark.parametrize("name", EDGES)
def test_what_a_part_may_state_is_drawn(name: str) -> None:
    """The least and the most number stay, those beside them go: chord symbols and metres as a whole."""
    least, most, *beside = EDGES[name]
    for text in (least, most):
        assert f">{text}</{name}>" in sheet_xml(read(STATED[name](text))).text
    for text in beside:
        left = sheet_xml(read(STATED[name](text))).text
        assert f"</{name}>" not in left if name != "tremolo" else f">{text}</tremolo>" not in left
        assert "<harmony" not in left


def test_halves_of_an_accidental_stay() -> None:
    """A chord symbol a quarter tone up is drawn; words beside it are not touched."""
    sheet = sheet_xml(read(_harmony(root="0.5"))).text
    assert "<root-alter>0.5</root-alter>" in sheet
    assert (
        direction("<words>dolce</words>")
        in sheet_xml(read(score(bar(direction("<words>dolce</words>") + note("C5", 16))))).text
    )
