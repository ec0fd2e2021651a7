"""The day of a recording."""

from datetime import date

from gripway.errors import ArgumentError


def day_of(given: str) -> str:
    """A day as YYYY-MM-DD. Raises ArgumentError, placed at `date`, for what is none."""
    try:
        return date.fromisoformat(given).isoformat()
    except (TypeError, ValueError):
        raise ArgumentError(
            f"{given!r} is no day", place="date", next_step="Write it as 2027-01-31"
        ) from None
