"""Which bars are asked for: "12-20", "12", "12-" or "-20", by the numbers printed in the score."""

from collections.abc import Sequence

from gripway.errors import ScoreError


def chosen_bars(wanted: str | None, numbers: Sequence[str], name: str) -> range:
    """Indices of the bars asked for; all of them without a wish.

    Numbers are texts as printed ("0", "12", "X1"). Raises ScoreError naming the first and
    the last bar when one asked for is not there.
    """
    if wanted is None:
        return range(len(numbers))
    text = wanted.strip().replace("–", "-")
    if text in numbers:
        return range(numbers.index(text), numbers.index(text) + 1)
    first_text, dash, last_text = text.partition("-")
    if not dash or not (first_text or last_text):
        raise _outside(text, numbers, name)
    first = _index(first_text.strip(), numbers, name) if first_text.strip() else 0
    last = _last_index(last_text.strip(), numbers, name) if last_text.strip() else len(numbers) - 1
    if last < first:
        raise ScoreError(
            f"bars {text} end before they begin", place=name, next_step="Give the earlier bar first"
        )
    return range(first, last + 1)


def _index(number: str, numbers: Sequence[str], name: str) -> int:
    if number not in numbers:
        raise _outside(number, numbers, name)
    return numbers.index(number)


def _last_index(number: str, numbers: Sequence[str], name: str) -> int:
    _index(number, numbers, name)
    return len(numbers) - 1 - list(reversed(numbers)).index(number)


def _outside(number: str, numbers: Sequence[str], name: str) -> ScoreError:
    return ScoreError(
        f"there is no bar {number!r}",
        place=name,
        next_step=f"The bars go from {numbers[0]} to {numbers[-1]}; write 12, 12-20 or 12-",
    )
