"""A rectangle on a printed page."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page, in the drawing's own units, and the text in it.

    `letters` are the boxes of its letters where they are known: two texts whose letters stand clear of each
    other do not touch, though one begins under a gap of the other.
    """

    page: int
    left: float
    top: float
    right: float
    bottom: float
    text: str = ""
    letters: tuple["Box", ...] = ()

    def touches(self, other: "Box") -> bool:
        """Whether two boxes have an area in common."""
        beside = self.right <= other.left or other.right <= self.left
        over = self.bottom <= other.top or other.bottom <= self.top
        if self.page != other.page or beside or over:
            return False
        if self.letters:
            return any(letter.touches(other) for letter in self.letters)
        return not other.letters or other.touches(self)
