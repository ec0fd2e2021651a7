"""The three parts of tests/data with their routes, solved once a session."""

from functools import cache
from pathlib import Path

from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.scores import read

DATA = Path(__file__).parents[1] / "data"
PARTS = {
    "boulanger_matin_flute": "concert-flute",
    "boulanger_matin_piccolo": "piccolo",
    "schubert_d485_flute": "concert-flute",
}
"""Each part, and the flute it is for."""


@cache
def solver_for(part: str) -> Solver:
    """The solver of a part's flute."""
    return FlutePlayer(flute(PARTS[part])).plain


@cache
def route_of(part: str) -> Route:
    """The route of a whole part."""
    return solver_for(part).solve(read(DATA / f"{part}.musicxml").passage)
