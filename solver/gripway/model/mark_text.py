"""What a mark in a score says, how it is written, and how it is read again.

Five signs are enough for an editor: a grip (of a trill also what moves), the thumb put on Tb or
back on T, fingers held down, held fingers released, and *simile* for a figure that comes again.
Whatever a `Hand` writes, `read_sign` reads; anything else, such as a finger number, is no sign.
"""

import re
from dataclasses import dataclass, replace

from gripway.errors import RequestError, check_kind
from gripway.model.grip import PLATES, TOUCHES, Grip

GRIP, THUMB, HOLD, RELEASE, SIMILE = "grip", "thumb", "hold", "release", "simile"

HOLD_WORDS = ("hold", "keep", "liegen lassen", "halten", "tenir", "garder", "tenere")
RELEASE_WORDS = ("release", "lift", "loslassen", "heben", "lever", "alzare")
SIMILE_WORDS = ("sim.", "simile", "idem", "come sopra")
"""The words a mark may use, as printed parts have them in several languages; the first is the usual one."""

SEPARATORS = ("|", "/")
"""What may stand between the hands; a stroke other than the bar needs blanks or an end beside it."""

BRACKETS = {"none": ("", ""), "square": ("[", "]"), "round": ("(", ")")}
"""Kinds of brackets around an editor's additions."""

AS_WORDS = "grips "
"""Stands before *simile* where the mark is words over the staff, which could mean anything there."""

TRILL_SIGN = "tr"
"""Stands between the grip of a trilled note and the touches that move for the trill."""

_STROKE = re.compile(r"(?:^|(?<=\s))/(?=\s|$)")
_TOUCH = re.compile("|".join(sorted((*TOUCHES, *PLATES), key=lambda touch: (-len(touch), touch))))
_CLOSE = re.compile(f"(?:{_TOUCH.pattern})+")
"""A touch, and touches written close together."""

THUMB_WORDS = ("T", "Tb")
_THUMB = {word: Grip.of([word]) for word in THUMB_WORDS}


NOTHING = Grip(0)


@dataclass(frozen=True, slots=True)
class MarkSign:
    """What one mark says: its kind, and the touches it speaks of (none for simile).

    `moving` are the touches that move from a grip for the trill on its note.
    """

    kind: str
    grip: Grip = NOTHING
    moving: Grip = NOTHING


@dataclass(frozen=True, slots=True)
class Hand:
    """How a house writes its signs.

    With `letters` the touches carry their hand (`T L1 L3 | R2 Eb`), without, only where they
    must. `separator` stands between the hands, `bracket` is a kind of BRACKETS; the three
    words are of the lists above. `abbreviations` are the house's own texts for grips.
    """

    letters: bool = False
    separator: str = "|"
    bracket: str = "none"
    hold: str = HOLD_WORDS[0]
    release: str = RELEASE_WORDS[0]
    simile: str = SIMILE_WORDS[0]
    abbreviations: tuple[tuple[str, Grip], ...] = ()

    @property
    def texts(self) -> dict[str, str]:
        """What the house's abbreviations stand for."""
        return {text: grip.text for text, grip in self.abbreviations}

    def written(self, sign: MarkSign, *, as_words: bool = False, short: str = "") -> str:
        """A sign as it stands in the score; `as_words` for words over the staff.

        `short` is a grip's text where it is not written out.

        >>> Hand().written(MarkSign("hold", Grip.parse("R2 R3")))
        'hold 2 3'
        """
        opening, closing = BRACKETS[self.bracket]
        return f"{opening}{short or self._text(sign, as_words)}{closing}"

    def _text(self, sign: MarkSign, as_words: bool) -> str:
        if sign.kind == SIMILE:
            return f"{AS_WORDS if as_words else ''}{self.simile}"
        if sign.kind == THUMB:
            return " ".join(sign.grip.touches)
        if sign.kind == GRIP:
            if own := self.abbreviation(sign):
                return own
            text = sign.grip.text if self.letters else sign.grip.short
            trill = f" {TRILL_SIGN} {' '.join(sign.moving.touches)}" if sign.moving.mask else ""
            return text.replace("|", self.separator) + trill
        word = self.hold if sign.kind == HOLD else self.release
        return f"{word} {' '.join(map(self._touch, sign.grip.touches))}"

    def whole(self, grip: Grip, moving: Grip = NOTHING) -> str:
        """A grip written out in this hand, without brackets and abbreviations.

        >>> Hand(letters=True, separator="/", bracket="square").whole(Grip.parse("T 1 3 | 2 Eb"))
        'T L1 L3 / R2 Eb'
        """
        return replace(self, bracket="none", abbreviations=()).written(MarkSign(GRIP, grip, moving))

    def abbreviation(self, sign: MarkSign) -> str:
        """The house's own text for a grip, empty where it has none; a trill is written out."""
        own = (text for text, grip in self.abbreviations if grip == sign.grip and not sign.moving.mask)
        return next(own, "")

    def _touch(self, touch: str) -> str:
        """A held touch: bare numbers are the right hand's, which is the one that mostly holds."""
        return touch if self.letters or touch[0] != "R" else touch[1:]


PLAIN_HAND = Hand()


def read_sign(text: str) -> MarkSign:
    """The sign a mark spells, whichever house style it is written in, bracketed or not.

    Raises ValueError for any other fingering (a finger number, a string name).

    >>> read_sign("[T 2 3 / Eb]").grip.text, read_sign("Tb").kind
    ('T L2 L3 | Eb', 'thumb')
    """
    bare = _plainly(" ".join(text.strip().strip("[]()").split()))
    held, trilled, moving = bare.partition(f" {TRILL_SIGN} ")
    if "|" in held or _STROKE.search(held):
        sides = (held if "|" in held else _STROKE.sub("|", held)).split("|")
        grip = Grip.parse("|".join(map(_apart, sides)))
        return MarkSign(GRIP, grip, Grip.parse(moving) if trilled else NOTHING)
    if bare in _THUMB:
        return MarkSign(THUMB, _THUMB[bare])
    folded = bare.casefold()
    if folded.removeprefix(AS_WORDS) in SIMILE_WORDS:
        return MarkSign(SIMILE)
    for kind, words in ((HOLD, HOLD_WORDS), (RELEASE, RELEASE_WORDS)):
        for word in words:
            if folded.startswith(f"{word} "):
                return MarkSign(kind, _held(bare[len(word) :]))
    raise ValueError(f"{text!r} has no bar between the hands")


def _plainly(text: str) -> str:
    """A mark with plain letters for printed accidentals, and T for the thumb as teachers write it."""
    text = text.replace("\u266d", "b").replace("\u266f", "#")
    text = re.sub(r"(?<![A-Za-z])C#", "Cs", text)
    return re.sub(r"\bTh(?![a-z])", "T", text)


def _apart(side: str) -> str:
    """The touches of one hand with blanks between: `T13` is `T 1 3`."""
    return " ".join(
        " ".join(_TOUCH.findall(word)) if _CLOSE.fullmatch(word) else word for word in side.split()
    )


def _held(text: str) -> Grip:
    """The touches after a word for holding or releasing."""
    return Grip.parse(" ".join(f"R{word}" if word in PLATES else word for word in text.split()))


def is_sign_over_staff(text: str) -> bool:
    """Whether words over the staff are a sign of ours: a plain *simile* there is somebody else's."""
    try:
        sign = read_sign(text)
    except ValueError:
        return False
    return sign.kind != SIMILE or text.strip().strip("[(").casefold().startswith(AS_WORDS)


def grip_of(given: Grip | str, place: str) -> Grip:
    """A grip as the output prints it, with or without the hand letters. Raises RequestError for no grip."""
    sign = trilled_grip_of(given, place)
    if sign.moving.mask:
        raise RequestError(
            f"{given!r} is a grip and what moves in a trill",
            place=place,
            next_step=f"Write the grip before {TRILL_SIGN} alone: {sign.grip.short}",
        )
    return sign.grip


def trilled_grip_of(given: Grip | str, place: str) -> MarkSign:
    """The same with what moves from it in a trill, if that is said: `T 1 2 | 1 2 Eb tr T`."""
    if isinstance(given, Grip):
        return MarkSign(GRIP, given)
    check_kind(given, str, "grip", 'Give a Grip or its text: "T 1 3 | 2 Eb"')
    try:
        if "|" not in given:
            return MarkSign(GRIP, Grip.parse(given))
        sign = read_sign(given)
        if sign.kind != GRIP:
            raise ValueError(f"{given!r} is not a grip")
        return sign
    except ValueError as problem:
        raise RequestError(
            str(problem), place=place, next_step='Write a grip as the output does: "T 1 3 | 2 Eb"'
        ) from None
