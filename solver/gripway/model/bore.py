"""The tube of an instrument in metres: pieces of bore, tone holes, embouchure, cork, open end.

Distances are measured along the tube from the centre of the embouchure hole, positive toward
the foot.
"""

from dataclasses import dataclass, replace
from math import inf


@dataclass(frozen=True, slots=True)
class BorePiece:
    """A cylinder or cone from `start_m` to `end_m` with the radii at its ends."""

    start_m: float
    end_m: float
    start_radius_m: float
    end_radius_m: float

    def radius_at(self, x_m: float) -> float:
        """Radius in metres at a distance inside the piece."""
        share = (x_m - self.start_m) / (self.end_m - self.start_m)
        return self.start_radius_m + share * (self.end_radius_m - self.start_radius_m)


@dataclass(frozen=True, slots=True)
class HoleShape:
    """A tone hole: radius, height, rim wall, and the key above it, in metres.

    `key_radius_m` is 0 without a key; `key_hole_radius_m` is 0 for a plate without finger hole.
    """

    radius_m: float
    height_m: float
    rim_m: float
    key_radius_m: float = 0.0
    key_gap_m: float = 0.0
    key_hole_radius_m: float = 0.0
    key_thickness_m: float = 0.0


@dataclass(frozen=True, slots=True)
class BoreHole:
    """A tone hole with its id, the same as in the mechanism, and its place."""

    id: str
    x_m: float
    shape: HoleShape


@dataclass(frozen=True, slots=True)
class Embouchure:
    """The embouchure hole as a short cone: radius outside and at the bore, and its height."""

    outer_radius_m: float
    inner_radius_m: float
    height_m: float


@dataclass(frozen=True, slots=True)
class Bore:
    """A whole tube; `holes` from head to foot, `cork` the closed piece behind the embouchure."""

    id: str
    pieces: tuple[BorePiece, ...]
    holes: tuple[BoreHole, ...]
    embouchure: Embouchure
    cork: BorePiece
    end_m: float

    def radius_at(self, x_m: float) -> float:
        """Radius in metres of the bore at a place; beyond the last piece its end radius."""
        for piece in self.pieces:
            if piece.start_m <= x_m < piece.end_m:
                return piece.radius_at(x_m)
        return self.pieces[-1].end_radius_m

    def without_keys(self, widest_m: float = inf) -> "Bore":
        """The same tube with nothing above its holes of up to a radius in metres (of any, without one)."""
        holes = (
            replace(hole, shape=replace(hole.shape, key_radius_m=0.0))
            if hole.shape.radius_m <= widest_m
            else hole
            for hole in self.holes
        )
        return replace(self, holes=tuple(holes))
