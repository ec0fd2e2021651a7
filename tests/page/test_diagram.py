"""Grip diagrams: every grip of every flute, none like another, all in black and white, all in words."""

import re
from functools import cache

import pytest
from lxml import etree
from tests.page.drawn import FLUTES, SVG, dots, flute_of, grips_of, least_difference, states
from tests.tiers import thinned

from gripway.catalog.flute.diagram_layout import diagram_layout
from gripway.catalog.flute.trills import trill_rows
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.page.diagram.diagram import alt_text, diagram
from gripway.page.diagram.frame import FORMS

NEEDED_DOTS = 6
"""Fewer than these of the 4,900 dots of a diagram of 8 mm would be no clear difference (judgement)."""
SMALL_BYTES = 2500
D6 = Grip.parse("T 2 3 | Eb")
FLUTE = flute_of("concert-flute")


@cache
def every_diagram(size_mm: float) -> tuple[tuple[Grip, str], ...]:
    """Every grip of every layout of touches some flute has, in both forms."""
    flutes = {(diagram_layout(flute_of(name)), grip): name for name in FLUTES for grip in grips_of(name)}
    return tuple(
        (grip, diagram(flute_of(name), grip, form=form, size_mm=size_mm))
        for (_, grip), name in flutes.items()
        for form in FORMS
    )


def test_flutes_whose_touches_lie_alike_have_the_same_pictures() -> None:
    """All that is drawn and said of a grip comes from the layout: the alto flute's D6 is the piccolo's."""
    alike = [name for name in FLUTES if diagram_layout(flute_of(name)) == diagram_layout(FLUTE)]
    assert len(alike) >= 4
    for form in FORMS:
        assert len({diagram(flute_of(name), D6, form=form) for name in alike}) == 1


@pytest.mark.parametrize("size_mm", thinned([8, 80], 2))
def test_every_grip_is_drawn_as_it_is(size_mm: float) -> None:
    """What the grip presses is in the filled group and nothing else is."""
    count = 0
    for grip, svg in every_diagram(size_mm):
        assert states(svg).get("pressed", set()) == set(grip.touches)
        count += 1
    assert count > 1500


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", thinned(FLUTES, len(FLUTES)))
def test_no_two_grips_are_printed_alike(name: str, form: str) -> None:
    """At 8 mm and 300 dots an inch, copied to pure black and white, any two grips differ clearly."""
    grips = grips_of(name)
    pictures = [dots(diagram(flute_of(name), grip, form=form, size_mm=8)) for grip in grips]
    assert max(pictures[0].shape) in (94, 95)  # 8 mm are 94.5 dots
    assert least_difference(pictures) >= NEEDED_DOTS


@pytest.mark.whole
@pytest.mark.parametrize("form", FORMS)
def test_no_two_grips_are_alike_when_large(form: str) -> None:
    """Nor at 80 mm; 100 dots an inch do for that."""
    grips = grips_of("all parts")
    pictures = [dots(diagram(flute_of("all parts"), grip, form=form, size_mm=80), dpi=100) for grip in grips]
    assert least_difference(pictures) >= NEEDED_DOTS


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size_mm", thinned([8, 20, 80], 3))
def test_every_sign_can_be_told_in_print(form: str, size_mm: float) -> None:
    """Lifted, pressed, held, free, gone down, gone up and trilling look different on every touch.

    Only that a touch of special grips is free is left out where its outline would close up.
    """
    flute = flute_of("all parts")
    for place in diagram_layout(flute).places:
        touch, down, up = place.touch, Grip.of([place.touch]), Grip(0)
        said = [
            {"grip": up},
            {"grip": down},
            {"grip": down, "held": [touch]},
            {"grip": down, "before": up},
            {"grip": up, "before": down},
            {"grip": down, "movers": [touch]},
            {"grip": up, "movers": [touch]},
        ]
        if place.always or size_mm > 8:
            said.append({"grip": up, "free": [touch]})
        drawn = [diagram(flute, form=form, size_mm=size_mm, **each) for each in said]  # type: ignore[arg-type]
        assert least_difference(dots(svg) for svg in drawn) >= NEEDED_DOTS, touch


@pytest.mark.whole
@pytest.mark.parametrize("form", FORMS)
def test_no_two_grips_of_a_trill_or_change_are_printed_alike(form: str) -> None:
    """With the movers of every trill marked, and the changes, its two grips still differ at 8 mm."""
    flute = flute_of("all parts")
    pairs = {row.grips for rows in trill_rows(flute).values() for row in rows if row.grips}
    assert len(pairs) >= 100
    for one, other in pairs:
        movers = Grip(one.mask ^ other.mask).touches
        trill = [diagram(flute, grip, form=form, movers=movers) for grip in (one, other)]
        change = [diagram(flute, one, form=form, before=other), diagram(flute, other, form=form, before=one)]
        for drawn in (trill, change):
            assert least_difference(map(dots, drawn)) >= NEEDED_DOTS


@pytest.mark.parametrize("size_mm", thinned([8, 80], 2))
def test_a_diagram_is_a_harmless_picture_of_its_own(size_mm: float) -> None:
    """Well-formed, marked as a picture, no ids, links, scripts or styles; its only ink is currentColor."""
    for _, svg in every_diagram(size_mm):
        root = etree.fromstring(svg)
        assert root.get("role") == "img"
        for element in root.iter():
            tag = element.tag.removeprefix(SVG)
            assert tag in {"svg", "title", "desc", "g", "path", "circle", "rect", "text"}
            assert not {"id", "style", "class", "href"} & set(element.attrib)
            assert not any(name.startswith("on") or "href" in name for name in element.attrib)
            inks = {element.get(name) for name in ("fill", "stroke") if element.get(name)}
            assert inks <= {"none", "currentColor"}
        assert len(svg) < SMALL_BYTES or size_mm > 8


def test_a_diagram_with_every_sign_is_small_too() -> None:
    """Below 2.5 kB at 8 mm with changes, a trill, held and free fingers."""
    svg = diagram(
        flute_of("all parts"),
        Grip.parse("T 1 2 3 4 | 1 2 3 C B"),
        before=Grip.parse("Tb | Kd Eb"),
        held=["R2", "R3"],
        free=["Hc"],
        movers=["B"],
        title="B3",
    )
    assert len(svg) < SMALL_BYTES


def test_the_bones_are_the_same_in_every_diagram() -> None:
    """Plates, thumb, G-sharp and E-flat key stand there pressed or not; the long side is as asked."""
    bones = {place.touch for place in diagram_layout(FLUTE).places if place.always}
    assert bones == {"T", "L1", "L2", "L3", "L4", "R1", "R2", "R3", "Eb"}
    for grip, svg in every_diagram(8):
        drawn = set().union(*states(svg).values())
        assert drawn == bones | set(grip.touches)
        assert 'mm" height="8.00mm"' in svg or 'width="8.00mm"' in svg


def test_under_a_note_it_stays_narrow() -> None:
    """An upright diagram of 8 mm is 3.5 to 4.5 mm wide, its lines at least 0.15 mm."""
    for name in FLUTES:
        root = etree.fromstring(diagram(flute_of(name), D6, size_mm=8))
        width_mm = float(root.get("width").removesuffix("mm"))
        assert 3.5 <= width_mm <= 4.6, name
        scale = width_mm / float(root.get("viewBox").split()[2])
        assert float(root.get("stroke-width")) * scale >= 0.15


def test_large_diagrams_show_touches_of_special_grips_small() -> None:
    """From some size on a lifted trill key is a small outline; what the flute lacks is nowhere."""
    drawn = states(diagram(FLUTE, D6, size_mm=30))
    assert drawn["small"] == {"Tb", "Sb", "Kd", "Kds", "Cs", "C"}
    assert states(diagram(flute_of("piccolo"), D6, size_mm=30))["small"] == {"Tb", "Sb", "Kd", "Kds"}


def test_large_diagrams_name_the_touches_as_a_grip_is_written() -> None:
    """At 80 mm every touch has its name, without the hand; at 8 mm there is none."""
    names = [text.text for text in etree.fromstring(diagram(FLUTE, D6, size_mm=80)).iter(f"{SVG}text")]
    assert " ".join(names) == "Tb T 1 2 3 4 1 2 3 Sb Kd Kds Eb Cs C"
    assert "<text" not in diagram(FLUTE, D6, size_mm=8)


def test_held_and_free_fingers_are_groups_of_their_own() -> None:
    """A held touch is filled but cut, a free one an open line that is cut."""
    svg = diagram(FLUTE, Grip.parse("T 1 | 2 3 Eb"), held=["R2", "R3"], free=["L4"])
    drawn = states(svg)
    assert (drawn["held"], drawn["free"]) == ({"R2", "R3"}, {"L4"})
    assert drawn["pressed"] == {"T", "L1", "Eb"}
    (held,) = re.findall(r'<g data-state="held" fill="currentColor" stroke="none">(.*?)</g>', svg)
    assert held.count("z") == 4  # two shut halves each
    (free,) = re.findall(r'<g data-state="free">(.*?)</g>', svg)
    assert free.count("M") == 2
    assert "z" not in free


def test_a_change_and_a_trill_have_one_sign_a_touch() -> None:
    """A triangle for each touch that has moved since the grip before, a wave for each mover."""
    svg = diagram(FLUTE, Grip.parse("T 1 3 | 2 Eb"), before=Grip.parse("T 1 2 | Eb"), movers=["R3"])
    (changes,) = re.findall(r'data-state="changes"[^>]* d="([^"]+)"', svg)
    assert changes.count("z") == 3  # L3 and R2 down, L2 up
    (trill,) = re.findall(r'data-state="trill" d="([^"]+)"', svg)
    assert trill.count("M") == 1
    still = diagram(FLUTE, D6, before=D6)
    assert 'data-state="changes"' not in still
    assert "nothing moves" in still


def test_a_touch_the_flute_lacks_is_drawn_where_the_grip_has_it() -> None:
    """A list may show grips that need a part the flute has not."""
    assert "Kcs" in states(diagram(FLUTE, Grip.parse("T 1 | Kcs Eb")))["pressed"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"form": "round"}, "is no form of a diagram"),
        ({"size_mm": 5}, "5 mm"),
        ({"size_mm": float("nan")}, "nan mm"),
        ({"held": ["L1"]}, "does not press it"),
        ({"free": ["T"]}, "presses it"),
        ({"movers": ["X"]}, "is not a touch"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], said: str) -> None:
    """A form, size or touch that cannot be drawn is an error that says so."""
    with pytest.raises(RequestError, match=said):
        diagram(FLUTE, D6, **wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("title", ["<b>&\"'", "a\x00b\x1f\ud800\ufffe", "]]>", "D♯6"])
def test_a_title_cannot_break_the_picture(title: str) -> None:
    """Signs of XML are escaped, characters no XML may hold are left out."""
    svg = diagram(FLUTE, D6, title=title)
    told = etree.fromstring(svg.encode()).findtext(f"{SVG}title")
    kept = "".join(sign for sign in title if sign.isprintable() and sign != "\ufffe")
    assert told == f"{kept}: left hand thumb, second and third finger; right hand E-flat key."


@pytest.mark.whole
def test_the_words_name_every_touch_and_no_two_grips_have_the_same() -> None:
    """Title of the picture and words alone agree; each pressed touch is named."""
    for name in FLUTES:
        names = {place.touch: place.words for place in diagram_layout(flute_of(name)).places}
        told = {grip: alt_text(flute_of(name), grip) for grip in grips_of(name)}
        assert len(set(told.values())) == len(told)
        for grip, text in told.items():
            assert all(names[touch].split()[0].casefold() in text.casefold() for touch in grip.touches)
            assert f"<title>{text}</title>" in diagram(flute_of(name), grip)
