"""Every point of the front: between two supported neighbours, the routes that lie off the hull.

Such a point lies in the triangle of the two neighbours and the corner that both beat. Partial
routes (labels: effort and lean so far) are carried from note to note; one is dropped when another of
its node beats it in both, or when even its best completion would leave the triangle.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from gripway.compare.batched_paths import Ints, Wide
from gripway.compare.corners import NOT_COMPLETE, WHOLE, Front, Point, slope
from gripway.compare.two_costs import Axes
from gripway.trellis.path import INF, nodes_of

IN_A_STRETCH = 200_000
IN_ALL = 5_000_000
MOST_LABELS = IN_A_STRETCH, IN_ALL
"""Labels made for one stretch between two corners, and in all; what would need more is given up."""

TOGETHER = 64
"""Triangles whose bounds are worked out in one go."""

Label = tuple[int, int, "Label | None", int]
"""Effort, lean, the label before, and the node."""


@dataclass(frozen=True, slots=True)
class Triangle:
    """What a label must keep to: the most effort, the most lean, the most of both as weighted.

    `rest_effort`, `rest_lean` and `rest` are the least that any way from a node to the end adds.
    """

    most_effort: int
    most_lean: int
    weight: tuple[int, int]
    most: int
    rest_effort: list[list[int]]
    rest_lean: list[list[int]]
    rest: list[list[int]]


def whole_front(axes: Axes, wide: Wide, corners: Front, labels: tuple[int, int] = MOST_LABELS) -> Front:
    """Every point there is, from the supported ones; the narrowest stretches come first.

    `labels` says how many may be made for one stretch and in all.
    """
    points, missing = list(corners.points), 0
    (one, left), pairs = labels, [pair for pair in pairwise(corners.points) if _has_room(*pair)]
    pairs.sort(key=lambda pair: (_room(*pair), pair[0].key))
    least = [_rows(wide.backward([weight]), 0) for weight in ((1, 0), (0, 1))] if pairs else []
    for start in range(0, len(pairs), TOGETHER):
        for triangle in _triangles(wide, pairs[start : start + TOGETHER], least):
            search = _PointSearch(axes, triangle, min(one, left))
            points += search.points()
            left = max(0, left - search.made)
            missing += search.given_up
    points.sort(key=lambda point: point.key)
    return Front(tuple(points), NOT_COMPLETE if missing else WHOLE, missing)


def _triangles(
    wide: Wide, pairs: list[tuple[Point, Point]], least: list[list[list[int]]]
) -> Iterator[Triangle]:
    """The triangles of some pairs of neighbours; `least` has the least effort and lean from every node."""
    weights = [slope(p, q) for p, q in pairs]
    rests = wide.backward(weights)
    reached = wide.passing(weights, [(q.effort - 1, p.lean - 1) for p, q in pairs])
    for number, (p, q) in enumerate(pairs):
        most = _most(p, q, reached[number])
        rest = _rows(rests, number)
        yield Triangle(q.effort - 1, p.lean - 1, weights[number], most, least[0], least[1], rest)


def _room(p: Point, q: Point) -> int:
    return (q.effort - p.effort) * (p.lean - q.lean)


def _has_room(p: Point, q: Point) -> bool:
    """Whether a point can lie strictly between two neighbours on both axes."""
    return q.effort - p.effort > 1 and p.lean - q.lean > 1


def _rows(columns: list[Ints], number: int) -> list[list[int]]:
    return [column[number].tolist() for column in columns]


def _most(p: Point, q: Point, reached: list[tuple[int, int]]) -> int:
    """The most a point between two neighbours can weigh, when these points are known to be reached.

    Any other point lies in a box between two of them; they themselves must be found as well.
    """
    a, b = slope(p, q)
    inside: list[tuple[int, int]] = []
    for effort, lean in reached:  # in order of effort: what does not lower the lean is beaten
        if lean < (inside[-1][1] if inside else p.lean):
            inside.append((effort, lean))
    steps = [p.key, *inside, q.key]
    boxes = (a * (after[0] - 1) + b * (before[1] - 1) for before, after in pairwise(steps))
    return max([*boxes, *(a * effort + b * lean for effort, lean in inside)])


class _PointSearch:
    """The labels of one triangle."""

    def __init__(self, axes: Axes, triangle: Triangle, most_labels: int) -> None:
        self.axes, self.triangle, self.most_labels = axes, triangle, most_labels
        self.made = 0
        self.given_up = False

    def points(self) -> list[Point]:
        """The points inside the triangle; none when it needs too many labels."""
        first: list[Label] = [(0, 0, None, -1)]
        labels = [self._kept(0, node, first, 0) for node in range(len(self.axes.efforts[0]))]
        for place in range(1, len(self.axes.efforts)):
            labels = [self._into(place, node, labels) for node in range(len(self.axes.efforts[place]))]
            self.made += sum(map(len, labels))
            if self.made > self.most_labels:
                self.given_up = True
                return []
        ended = _undominated([label for column in labels for label in column])
        return [Point(label[0], label[1], nodes_of(label), supported=False) for label in ended]

    def _into(self, place: int, node: int, before: list[list[Label]]) -> list[Label]:
        """The labels of one node, from all labels of the column before."""
        row, arriving = self.axes.blocks[place][node], []
        for labels, moved in zip(before, row, strict=True):
            if labels and moved != INF:
                arriving += self._kept(place, node, labels, int(moved))
        return _undominated(arriving) if len(arriving) > 1 else arriving

    def _kept(self, place: int, node: int, labels: list[Label], moved: int) -> list[Label]:
        """Labels carried to a node whose best completion stays inside the triangle."""
        t, axes = self.triangle, self.axes
        a, b = t.weight
        add_effort, add_lean = moved + axes.efforts[place][node], axes.leans[place][node]
        effort_room = t.most_effort - t.rest_effort[place][node] - add_effort
        lean_room = t.most_lean - t.rest_lean[place][node] - add_lean
        room = t.most - t.rest[place][node] - a * add_effort - b * add_lean
        return [
            (effort + add_effort, lean + add_lean, label, node)
            for label in labels
            if (effort := label[0]) <= effort_room
            and (lean := label[1]) <= lean_room
            and a * effort + b * lean <= room
        ]


def _undominated(labels: list[Label]) -> list[Label]:
    """Those that no other beats or equals in both; of equal ones the first."""
    kept: list[Label] = []
    for label in sorted(labels, key=lambda label: label[:2]):
        if not kept or label[1] < kept[-1][1]:
            kept.append(label)
    return kept
