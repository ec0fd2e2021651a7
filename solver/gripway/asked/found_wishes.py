"""Wishes for found grips, in plain words: what must stay down, what must not be used, how near."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import isfinite

from gripway.errors import RequestError
from gripway.model.grip import TOUCHES, Grip

TRILL_KEYS = ("Kd", "Kds", "Kcs")
COUNTS = {"one": 1, "two": 2, "three": 3}
HOW_TO_ASK = (
    "Ask for: keep R2 R3; without Kd Kds; no trill keys; within 10 cents; one finger from T L1 L3 | R3 Eb"
)


NOTHING = Grip(0)


@dataclass(frozen=True, slots=True)
class FoundWishes:
    """What a found grip must keep to.

    `keep` touches that must be down and `without` touches that must not, as grips;
    `within_cents` of the standard grip (None: the usual window); `origin` a grip from which at
    most `fingers` fingers may move (None: no such wish).

    >>> import gripway
    >>> gripway.FoundWishes(within_cents=10.0).within_cents
    10.0
    """

    keep: Grip = NOTHING
    without: Grip = NOTHING
    within_cents: float | None = None
    origin: Grip | None = None
    fingers: int = 1

    @property
    def window_cents(self) -> float:
        """How far from the standard grip a found grip may lie: as wished, else the usual window."""
        from gripway.catalog.tables.acoustic_limits import acoustic_limits

        return acoustic_limits().found_cents if self.within_cents is None else self.within_cents


NO_WISHES = FoundWishes()


def parse_wishes(texts: Iterable[str]) -> FoundWishes:
    """The wishes some texts say, each text one wish or several with commas or semicolons.

    RequestError says which wish is not understood or contradicts another.

    >>> parse_wishes(["keep R2 R3", "within 10 cents"]).within_cents
    10.0
    """
    wishes = NO_WISHES
    for text in texts:
        for part in re.split(r"[,;]", text):
            words = " ".join(part.split())
            if not words:
                raise RequestError("a wish is empty", place=text.strip(), next_step=HOW_TO_ASK)
            wishes = _add(wishes, words)
    if both := Grip(wishes.keep.mask & wishes.without.mask).touches:
        raise RequestError(
            f"{' '.join(both)} cannot be kept and left out at once", next_step="Drop one of the two wishes"
        )
    return wishes


def _add(wishes: FoundWishes, words: str) -> FoundWishes:
    for pattern, add in _FORMS:
        if match := re.fullmatch(pattern, words, re.IGNORECASE):
            return add(wishes, words, *match.groups())
    raise RequestError(f"the wish {words!r} is not understood", next_step=HOW_TO_ASK)


def _keep(wishes: FoundWishes, words: str, touches: str) -> FoundWishes:
    return replace(wishes, keep=Grip(wishes.keep.mask | _touches(words, touches).mask))


def _without(wishes: FoundWishes, words: str, touches: str) -> FoundWishes:
    return replace(wishes, without=Grip(wishes.without.mask | _touches(words, touches).mask))


def _no_trill_keys(wishes: FoundWishes, words: str) -> FoundWishes:
    return _without(wishes, words, " ".join(TRILL_KEYS))


def _within(wishes: FoundWishes, words: str, number: str) -> FoundWishes:
    from gripway.catalog.tables.acoustic_limits import acoustic_limits

    most = acoustic_limits().found_most_cents
    try:
        cents = float(number)
    except ValueError:
        raise RequestError(
            f"{number!r} is not a number of cents", place=words, next_step=HOW_TO_ASK
        ) from None
    if not isfinite(cents) or not 0.0 < cents <= most:
        raise RequestError(
            f"{number} cents is no window to search",
            place=words,
            next_step=f"Give more than 0 and at most {most:g} cents",
        )
    if wishes.within_cents not in (None, cents):
        raise RequestError("two windows of cents are asked for", place=words, next_step="Give one of them")
    return replace(wishes, within_cents=cents)


def _origin(wishes: FoundWishes, words: str, count: str, grip: str) -> FoundWishes:
    origin, fingers = _touches(words, grip), COUNTS[count.lower()]
    if wishes.origin is not None and (wishes.origin, wishes.fingers) != (origin, fingers):
        raise RequestError("two grips to start from are given", place=words, next_step="Give one of them")
    return replace(wishes, origin=origin, fingers=fingers)


def _touches(words: str, touches: str) -> Grip:
    try:
        return Grip.parse(touches)
    except ValueError as error:
        raise RequestError(
            str(error).split(";")[0], place=words, next_step=f"The touches are {' '.join(TOUCHES)}"
        ) from None


_FORMS: tuple[tuple[str, Callable[..., FoundWishes]], ...] = (
    (r"(?:no|without) trill keys?", _no_trill_keys),
    (r"keep (.+)", _keep),
    (r"(?:no|without) (.+)", _without),
    (r"within (\S+) cents?", _within),
    (r"(one|two|three) fingers? from (.+)", _origin),
)
