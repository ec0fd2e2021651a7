"""How far the fresh fingers of the plain grips are from those that the chosen route really moves.

A change is searched without knowing the one before it, so that the fingers that are fresh at it are those
that the plain grips move (route/linking.py). Run `python -m tests.route.fresh_error`: it prints, for
every part of tests/data, at how many changes of the route the load differs from that with the fingers
that really moved, and by how much at most.
"""

from dataclasses import dataclass, replace

from tests.oracles.recount import linked
from tests.route.real_parts import PARTS, route_of, solver_for

from gripway.effort.hand import FINGER_BITS
from gripway.route.result import Route
from gripway.route.solve import Solver

SAME = 1e-9
"""Loads nearer than this are the same."""


@dataclass(frozen=True, slots=True)
class FreshError:
    """Changes looked at, those whose load differs, and the greatest difference of a load."""

    changes: int
    differ: int
    greatest: float

    @property
    def share(self) -> float:
        """Share of the changes that differ."""
        return self.differ / self.changes


def fresh_error(route: Route, solver: Solver) -> FreshError:
    """The error of a route: every change with the fingers that the change before it moved, not in a rest."""
    between, model = linked(route.passage, solver), solver.model
    movers = {change.to: sum(FINGER_BITS[finger] for finger, _ in change.movers) for change in route.changes}
    off = []
    for change in route.changes:
        before, after = (route.notes[k].candidate for k in (change.to - 1, change.to))
        assert before is not None
        assert after is not None
        link = between[change.to]
        one, other = (route.passage.notes[max(0, change.to - back)] for back in (2, 1))
        rested = other.onset > one.onset + one.length
        real = replace(link, fresh=0 if rested else movers.get(change.to - 1, 0))
        step = model.step(before, after)
        off.append(abs(model.load(step, link) - model.load(step, real)))
    return FreshError(len(off), sum(size > SAME for size in off), max(off))


if __name__ == "__main__":
    for part in PARTS:
        found = fresh_error(route_of(part), solver_for(part))
        print(f"{part}: {found.changes} changes, {found.share:.1%} differ, by {found.greatest:.2f} at most")
