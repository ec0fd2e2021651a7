"""Where the signs of notes go."""

import re

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.hold_marks import thumb_places
from gripway.model.grip import Grip
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import Box, Engraving, NoteBox, System
from gripway.page.report.music import DrawnSigns, music
from gripway.page.report.note_signs import lean_of, signs
from gripway.page.report.sign_places import DIAGRAM, PlacedSign, place_signs
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes


def placed(*middles: float) -> list[PlacedSign]:
    """Signs of notes whose heads stand at these places, all with a diagram."""
    route = finger(notes(" ".join(["G#6", "F#6"] * 3)[: 4 * len(middles) - 1]), flute())
    found = signs(route, "every")
    boxes = {
        each.note.id: NoteBox(Box(middle - 100, 0, 200, 180), Box(middle, 1000, 0, 1200))
        for each, middle in zip(route.notes, middles, strict=True)
    }
    system = System("", 18000, 2400, Box(0, 300, 18000, 720), boxes)
    return place_signs(system, found, GripSymbols(flute()))


def test_signs_stand_centred_under_their_heads() -> None:
    """With room enough every sign begins at the top of its room."""
    found = placed(1000, 2000, 3000)
    assert [each.box.middle for each in found] == [1000, 2000, 3000]
    assert {each.box.y for each in found} == {1000}
    assert all(each.leader is None for each in found)


def test_a_sign_in_the_way_of_another_goes_below_it() -> None:
    """Two heads near together: no boxes touch, both stay centred, and a line leads to the lower one."""
    near, far = placed(1000, 1400)
    assert (near.box.middle, far.box.middle) == (1000, 1400)
    assert far.box.y >= near.box.bottom
    assert far.leader == 1000


def test_no_two_signs_ever_touch() -> None:
    """Even where heads stand on one another."""
    boxes = [each.box for each in placed(1000, 1010, 1100, 1300, 1350)]
    for place, box in enumerate(boxes):
        for other in boxes[:place]:
            beside = box.x < other.x + other.width and other.x < box.x + box.width
            assert not (beside and box.y < other.bottom and other.y < box.bottom)


def test_the_lean_of_a_sign_is_that_of_its_flag() -> None:
    """Its cents are those the words tell, sharp above and flat below nothing."""
    route = finger(notes("ff G#6:1/2 pp C#6:1/2 C5"), flute())
    leans = [lean_of(each) for each in route.notes]
    assert leans[0] is not None
    assert leans[0] > 0
    told = [any(flag.startswith(("sharp", "flat")) for flag in each.flags) for each in route.notes]
    assert [lean is not None for lean in leans] == told
    for lean, each in zip(leans, route.notes, strict=True):
        if lean is not None:
            assert f"{'sharp' if lean > 0 else 'flat'} by about {abs(lean)} " in " ".join(each.flags)


def test_where_the_thumb_goes_there_is_a_diagram() -> None:
    """Without an edition's marks: at the note from which it is on the B-flat lever, and where it is back."""
    passage = notes("(C#5 D#5 E5 F#5 G#5 A#5 B#5 C#6) E6:1/4", tempo=96, unit="1/32")
    pinned = Wishes(pins=(Pin(5, Grip.parse("Tb L1 | Eb")),))
    route = finger(passage, flute(), pinned)
    places = [(note.note.pitch.name, key) for note, key in thumb_places(route.notes)]
    assert places == [("D#5", "Tb"), ("E6", "T")]
    found = signs(route)
    assert all(found[note.note.id].diagram for note, _ in thumb_places(route.notes))
    assert not found.get(route.notes[2].note.id) or not found[route.notes[2].note.id].diagram
    assert not any(sign.diagram for sign in signs(route, marked=frozenset()).values())


@pytest.mark.parametrize(("rooms", "height"), [(True, 1000 + DIAGRAM + 60), (False, 2400)])
def test_a_system_ends_where_its_signs_end(rooms: bool, height: float) -> None:
    """Room for a line below a diagram that has none is no gap; a drawing without rooms keeps its height."""
    route = finger(notes("C5 D5 E5"), flute())
    found = {name: sign for name, sign in signs(route, "every").items() if not sign.line}
    assert found
    boxes = {
        name: NoteBox(Box(900, 0, 200, 180), Box(1000, 1000, 0, 1200) if rooms else None)
        for name in [*found][:1]
    }
    system = System("", 18000, 2400, Box(0, 300, 18000, 720), boxes)
    shown = music(
        Engraving((system,), {}), DrawnSigns(found, (), dict.fromkeys(boxes, "a note"), GripSymbols(flute()))
    )
    sizes = re.findall(r'viewBox="0 0 18000 ([0-9.]+)"', shown)
    assert [float(size) for size in sizes] == [height]
