"""A grip written as how it differs from the plain one of its note: `R2`, `+R23`, `-Eb`, `tr Kd`.

With signs the standard grip has these touches down or up besides; without, the grip is meant that has
them and is nearest to the standard one. `tr` stands before the touches that move in a trill.
"""

import re
from dataclasses import dataclass, replace

from gripway.model.grip import PLATES, TOUCHES, Grip
from gripway.model.mark_text import NOTHING, THUMB_WORDS, TRILL_SIGN, Hand, MarkSign

_ONE = "|".join(sorted(TOUCHES, key=lambda touch: (-len(touch), touch)))
_WORD = rf"[+-]?\s*(?:{_ONE})"
_LINE = re.compile(rf"{_WORD}(?:(?:[\s,]+|(?=[+-])){_WORD})*")
_SIGNED = re.compile(rf"([+-]?)\s*({_ONE})(?![A-Za-z0-9])")
_HAND = re.compile(r"([LR])((?:\s*[1-4])+)(?!\w)")
_BY_HAND = re.compile("^([+-]?[LR])([1-4]+)$")
_MINUS = re.compile("[\u2212\u2013]")


@dataclass(frozen=True, slots=True)
class Difference:
    """Touches that are named instead of the standard grip's, more and fewer ones, those of a trill."""

    instead: Grip = NOTHING
    more: Grip = NOTHING
    less: Grip = NOTHING
    moving: Grip = NOTHING

    @property
    def text(self) -> str:
        """One line; `read_difference` reads it.

        >>> Difference(more=Grip.parse("R2 R3"), less=Grip.parse("Eb")).text
        '+R23 -Eb'
        """
        signed = (("", self.instead), ("+", self.more), ("-", self.less), (f"{TRILL_SIGN} ", self.moving))
        return " ".join(sign + " ".join(_by_hand(grip)) for sign, grip in signed if grip.mask)

    @property
    def is_plainly_one(self) -> bool:
        """Whether nobody takes it for something else where it stands alone over a staff."""
        numbered = any(touch[-1] in PLATES for touch in self.instead.touches)
        return numbered or bool(self.more.mask | self.less.mask | self.moving.mask)


def stacked(text: str) -> str:
    """A difference with each hand over its fingers, a line each: `R2` is R over 2.

    >>> stacked("+R23 tr Kd").splitlines()
    ['+R', '2', '3', 'tr', 'Kd']
    """
    changes, trill, moving = text.partition(f"{TRILL_SIGN} ")
    lines: list[str] = []
    for word in changes.split():
        letter, fingers = _BY_HAND.sub(r"\1 \2", word).partition(" ")[::2]
        lines += [letter, *fingers]
    return "\n".join([*lines, trill.strip(), moving] if trill else lines)


def one_hand_over_the_other(hand: Hand, sign: MarkSign) -> str:
    """A grip written out, the left hand over the right one; what moves in a trill stands below."""
    text = replace(hand, bracket="none", separator="|").written(sign)
    held, trill, moving = text.partition(f" {TRILL_SIGN} ")
    left, bar, right = held.partition("|")
    lines = [f"{left}{bar}".strip(), right.strip(), f"{TRILL_SIGN} {moving}" if trill else ""]
    return "\n".join(line for line in lines if line)


def read_difference(text: str) -> Difference | None:
    """What a text in this form says, bracketed or not, in one line or stacked; None for any other."""
    bare = _MINUS.sub("-", text.strip().strip("[]()").replace("\u266d", "b"))
    bare = _HAND.sub(_numbered, " ".join(bare.split()))
    changes, trill, moving = f" {bare}".partition(f" {TRILL_SIGN} ")
    changes = changes.strip()
    if bare in THUMB_WORDS or (trill and not _LINE.fullmatch(moving)) or not (changes or trill):
        return None
    if changes and not _LINE.fullmatch(changes):
        return None
    touches: dict[str, list[str]] = {"": [], "+": [], "-": []}
    sign = ""
    for given, touch in _SIGNED.findall(changes):
        if given == "-" and touches[""]:
            return None
        sign = "" if touches[""] else given or sign
        touches[sign].append(touch)
    moved = [touch for _, touch in _SIGNED.findall(moving)]
    return Difference(*(Grip.of(each) for each in (touches[""], touches["+"], touches["-"], moved)))


def _by_hand(grip: Grip) -> list[str]:
    """The touches, fingers of one hand together: `R23`."""
    words: list[str] = []
    for touch in grip.touches:
        if words and touch[-1] in PLATES and words[-1][0] == touch[0] and words[-1][-1] in PLATES:
            words[-1] += touch[-1]
        else:
            words.append(touch)
    return words


def _numbered(found: re.Match[str]) -> str:
    """The fingers behind the letter of their hand, each with it."""
    return " ".join(found[1] + finger for finger in found[2] if not finger.isspace())


def is_short_sign_over_staff(text: str) -> bool:
    """Whether words over the staff are a grip in this form."""
    difference = read_difference(text)
    return difference is not None and difference.is_plainly_one
