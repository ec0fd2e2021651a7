"""The measured concert flute with its atlas, as the tests of sounds, ways and free fingers use it."""

from functools import cache

from gripway.acoustics.atlas import Atlas, atlas, reachable_patterns
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.acoustics.sounds import sounds
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.player_terms import player_term
from gripway.effort.position import positions
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

FLUTE = load_instrument()


@cache
def atlas_of() -> Atlas:
    """All hole patterns of the flute on the measured tube."""
    bore = bores(FLUTE)[0]
    return atlas(FLUTE, Tube(bore, PlayerTerm(*player_term(bore.id))), reachable_patterns(FLUTE))


def number(name: str) -> int:
    """Note number of a pitch name."""
    return Pitch.parse(name).number


def pattern(grip: str) -> int:
    """Hole pattern of a grip."""
    return FLUTE.mechanism.hole_pattern(Grip.parse(grip))


def places(grip: str) -> tuple[str, ...]:
    """Where the nine fingers are for a grip, by its usual fingers."""
    position = next(positions(FLUTE.mechanism, Grip.parse(grip)))
    return position.left + position.right


@cache
def standard_grips() -> dict[int, Grip]:
    """The standard grip of each note number."""
    found: dict[int, Grip] = {}
    for note, rows in grip_rows(FLUTE).items():
        for row in rows:
            if row.kind == "standard" and allowed(row, FLUTE):
                found.setdefault(note, row.grip)
    return found


def standard_patterns() -> dict[int, int]:
    """The hole pattern of each standard grip."""
    return {note: FLUTE.mechanism.hole_pattern(grip) for note, grip in standard_grips().items()}


KNOWN = sounds(atlas_of(), standard_patterns())
