"""A house style as its file has it: TOML, strict about keys and words."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any, Literal

from msgspec import Meta, field

from gripway.catalog.own_files.own_file import own_toml
from gripway.catalog.own_files.typed import Fault, Table, faults, spelt, typed
from gripway.errors import HouseStyleError
from gripway.model.difference import read_difference
from gripway.model.grip import Grip
from gripway.model.house_style import (
    FORMS,
    NEEDED,
    OVER,
    PLACEMENTS,
    REASONS,
    STACKED,
    STYLES,
    WHICH,
    WORDS,
    HouseStyle,
    MarkChoice,
)
from gripway.model.mark_text import (
    BRACKETS,
    HOLD_WORDS,
    RELEASE_WORDS,
    SEPARATORS,
    SIMILE_WORDS,
    Hand,
    read_sign,
)
from gripway.model.pitch import Pitch

NO_SIMILE = ""
KINDS = ("standard", "alternate", "trill", "harmonic", "vented", "found")
"""Kinds of grips that a mark can be about."""


def _one_of(words: Sequence[str]) -> Any:
    listed = ", ".join(f'"{word}"' for word in words)
    return Annotated[Literal[tuple(words)], Meta(description=f"Write one of {listed}")]


def _some_of(words: Sequence[str]) -> Any:
    return _list_of(Annotated[Literal[tuple(words)], Meta(description=f"Write some of {', '.join(words)}")])


def _list_of(kind: Any) -> Any:
    return Annotated[tuple[kind, ...], Meta(description='Write ["one", "two"]')]


def _number(text: str) -> int:
    try:
        return Pitch.parse(text).number
    except ValueError as problem:
        raise ValueError(str(problem)) from None


_Which: Any = _one_of(WHICH)
_As: Any = _one_of(STYLES)
_Placement: Any = _one_of(PLACEMENTS)
_Over: Any = _one_of(OVER)
_Form: Any = _one_of(FORMS)
_Separator: Any = _one_of(SEPARATORS)
_Bracket: Any = _one_of(tuple(BRACKETS))
_Simile: Any = _one_of((*SIMILE_WORDS, NO_SIMILE))
_Hold: Any = _one_of(HOLD_WORDS)
_Release: Any = _one_of(RELEASE_WORDS)
_Pitches: Any = _list_of(spelt("Write a pitch such as C#6", _number))
_Kinds: Any = _some_of(KINDS)
_Reasons: Any = _some_of(REASONS)
_UpToHundred = Annotated[float, Meta(ge=0, le=100)]
_Points = Annotated[float, Meta(ge=4, le=24)]
_Spaces = Annotated[float, Meta(ge=0, le=20)]


class _Marks(Table, frozen=True):
    which: _Which = NEEDED
    style: _As = field(default=STYLES[0], name="as")
    placement: _Placement = PLACEMENTS[0]
    over: _Over = OVER[0]
    font_size: _Points | None = None
    distance: _Spaces | None = None
    least_gain: _UpToHundred | None = None
    at_most: _UpToHundred | None = None


class _Picked(Table, frozen=True):
    pitches: _Pitches = ()
    kinds: _Kinds = ()
    reasons: _Reasons = ()

    def choice(self) -> MarkChoice:
        """Marks picked out by pitches, kinds and reasons."""
        numbers = frozenset(pitch.value for pitch in self.pitches)
        return MarkChoice(numbers, frozenset(self.kinds), frozenset(self.reasons))


class _MarkedGrips(Table, frozen=True):
    form: _Form = FORMS[0]
    hand_letters: bool = False
    separator: _Separator = SEPARATORS[0]
    bracket: _Bracket = "none"


class _Words(Table, frozen=True):
    simile: _Simile = SIMILE_WORDS[0]
    hold: _Hold = HOLD_WORDS[0]
    release: _Release = RELEASE_WORDS[0]


class _File(Table, frozen=True):
    marks: _Marks = _Marks()
    omit: _Picked = _Picked()
    only: _Picked = _Picked()
    grips: _MarkedGrips = _MarkedGrips()
    words: _Words = _Words()
    abbreviations: dict[str, Any] = field(default_factory=dict)


def _abbreviation(text: str, grip: object, fault: Fault) -> tuple[str, Grip]:
    key = f"abbreviations.{text}"
    if not text.strip() or text != " ".join(text.split()) or _has_meaning(text):
        what = f"the abbreviation {text!r} has a meaning of its own, or none"
        raise fault(key, what, "Write letters that are no sign of gripway's")
    try:
        return text, Grip.parse(grip if isinstance(grip, str) else repr(grip))
    except ValueError as problem:
        raise fault(key, str(problem), 'Write a grip such as "T 1 3 | 2 Eb"') from None


def _has_meaning(text: str) -> bool:
    """Whether a text is a sign of ours, in whatever form."""
    try:
        read_sign(text)
    except ValueError:
        return read_difference(text) is not None
    return True


HOUSE_KEYS = {
    table: kind.__struct_encode_fields__
    for table, kind in _File.__annotations__.items()
    if isinstance(kind, type) and issubclass(kind, Table)
}
"""Tables of the file and their keys; the keys of `abbreviations` are the house's own."""


def read_house_style(path: Path) -> HouseStyle:
    """Read a house style. Raises HouseStyleError with the place file:key for anything amiss."""
    fault = faults(HouseStyleError, f"{path}:")
    file = typed(own_toml(path, HouseStyleError), _File, fault)
    marks, grips, words = file.marks, file.grips, file.words
    if grips.form == STACKED and marks.style != WORDS:
        raise fault("grips.form", "only words can be stacked", 'Write as = "words", or form = "difference"')
    abbreviations = tuple(_abbreviation(text, grip, fault) for text, grip in file.abbreviations.items())
    return HouseStyle(
        which=marks.which,
        style=marks.style,
        placement=marks.placement,
        hand=Hand(
            letters=grips.hand_letters,
            separator=grips.separator,
            bracket=grips.bracket,
            hold=words.hold,
            release=words.release,
            simile=words.simile or SIMILE_WORDS[0],
            abbreviations=abbreviations,
        ),
        form=grips.form,
        over=marks.over,
        font_points=marks.font_size,
        distance_spaces=marks.distance,
        say_simile=words.simile != NO_SIMILE,
        least_gain=marks.least_gain,
        at_most=marks.at_most,
        omit=file.omit.choice(),
        only=file.only.choice(),
    )
