"""Signs stand clear of every touch and of each other."""

from itertools import combinations

import pytest
from tests.every import every
from tests.page.drawn import flute_of

from gripway.catalog.flute.diagram_layout import TouchBox, TouchPlace, diagram_layout
from gripway.page.diagram.frame import FORMS, LABELS_FROM_MM, Paper, frame
from gripway.page.diagram.touch_signs import room, signs

PLACES = diagram_layout(flute_of("all parts")).places
SIZES = [8.0, 20.0, LABELS_FROM_MM, 80.0]


def paper_of(form: str, size_mm: float) -> Paper:
    """The paper of a flute with every part."""
    return frame((box for place in PLACES for box in room(place, form, size_mm)), form, size_mm)


def stands_on(paper: Paper, box: TouchBox) -> bool:
    """Whether a box lies on the paper."""
    return (
        paper.head <= box.along - box.length / 2
        and box.along + box.length / 2 <= paper.foot
        and abs(box.across) + box.width / 2 <= paper.half_width
    )


def test_no_touch_covers_another() -> None:
    """Each touch has a place of its own, so that what is pressed shows whatever else is."""
    for one, other in combinations(PLACES, 2):
        assert not one.box.meets(other.box), (one.touch, other.touch)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size_mm", SIZES)
def test_every_sign_is_clear_of_every_touch(form: str, size_mm: float) -> None:
    """Triangle, wave and (when drawn) name of a touch cover no touch, and each other neither."""
    paper = paper_of(form, size_mm)
    for place in PLACES:
        for trill, changed in ((True, False), (False, True), (True, True)):
            stand = signs(paper, place, trill=trill, changed=changed)
            drawn = [box for box in (stand.wave, stand.triangle) if box]
            drawn += [stand.name] if paper.labelled else []
            for box in drawn:
                met = [other.touch for other in PLACES if box.meets(other.box)]
                assert met == [], (place.touch, box)
            for one, other in combinations(drawn, 2):
                assert not one.meets(other), place.touch


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size_mm", SIZES)
def test_changes_of_different_touches_are_clear_of_each_other(form: str, size_mm: float) -> None:
    """Any number of touches can move at once."""
    paper = paper_of(form, size_mm)
    triangles = [signs(paper, place, trill=False, changed=True).triangle for place in PLACES]
    for one, other in combinations(triangles, 2):
        assert one is not None
        assert other is not None
        assert not one.meets(other)
        assert stands_on(paper, one)


@pytest.mark.parametrize("form", FORMS)
def test_names_are_clear_of_each_other_and_on_the_paper(form: str) -> None:
    """At 80 mm, with no sign and with every sign of change."""
    paper = paper_of(form, 80)
    for changed in (False, True):
        names = [signs(paper, place, trill=False, changed=changed).name for place in PLACES]
        assert all(stands_on(paper, name) for name in names)
        for one, other in combinations(range(len(names)), 2):
            assert not names[one].meets(names[other]), (PLACES[one].touch, PLACES[other].touch)


@every(PLACES, lambda place: place.touch)
def test_a_wave_stands_on_the_paper(place: TouchPlace) -> None:
    """The wave of a trill is not cut off by the edge."""
    for form in FORMS:
        for size_mm in SIZES:
            paper = paper_of(form, size_mm)
            stand = signs(paper, place, trill=True, changed=False)
            assert stand.wave is not None
            assert stands_on(paper, stand.wave)
