"""What a player expects without being told, and when leaving it is worth a mark."""

from gripway.model.house_style import HouseStyle
from gripway.route.result import RouteNote


def is_plain(note: RouteNote) -> bool:
    """Whether a note has the grip a player expects: the standard one, thumb on either plate."""
    candidate = note.candidate
    return candidate is not None and candidate.kind == "standard" and candidate.held == 0


def worth_a_mark(note: RouteNote, house: HouseStyle) -> bool:
    """Whether the standard grip would take as much more effort as the house asks for."""
    standard = [other.effort_more for other in note.others if other.candidate.kind == "standard"]
    return min(standard, default=float("inf")) >= house.least_gain
