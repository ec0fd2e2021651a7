"""What can go wrong, as one small tree, drawn by what the user can do about it.

GripwayError
├── RequestError         an option or argument: ask again, corrected
│   └── ArgumentError    one of our functions, by its name in Python: the command says its option
├── ScoreError           the score file: mend or choose another
│   ├── TacetError       a part without notes: nothing to finger, nothing wrong
│   └── NotationError    the one-line notation: mend the word it points at
├── PlayerFileError      the player's own file: mend the key it names
├── HouseStyleError      the file of a house style: mend the key it names
├── DecisionsFileError   an editor's decisions: mend the decision it names
├── MarksListError       the list of marks beside a score: mend the entry it names
├── RulesFileError       the player's own rules: mend the rule it names
├── RecordingError       a recording: mend it, or record again
├── ImpossibleHoldError  a grip no hand can hold on this flute
└── TableError           one of our own tables is wrong: report it
"""

from types import UnionType
from typing import SupportsIndex

LONGEST = 600
"""So many signs of each of the three texts are said; more would be a file's content, not its fault."""


class GripwayError(Exception):
    """Something gripway could not do: what, where, and what to do next.

    `what` says what is wrong, `place` where (file, bar, note or table:row:column, empty
    where there is no place), `next_step` what the user can do. All three are plain text.
    """

    def __init__(self, what: str, *, place: str = "", next_step: str = "") -> None:
        self.what, self.place, self.next_step = map(shortened, (what, place, next_step))
        super().__init__(self.what)

    def __str__(self) -> str:
        head = f"{self.place}: {self.what}" if self.place else self.what
        return f"{head}. {self.next_step}" if self.next_step else head


def shortened(text: str) -> str:
    """A text as it is said: of a very long one the beginning and the end."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST // 2]} … {text[-LONGEST // 2 :]}"


class RequestError(GripwayError):
    """An option or argument that cannot be used."""


class ArgumentError(RequestError):
    """An argument of one of our functions that cannot be used: the place begins with its name in Python."""


def check_kind(value: object, kind: type | UnionType, name: str, next_step: str) -> None:
    """RequestError where a value from Python is not of this kind: `a str is no passage`."""
    if not isinstance(value, kind):
        given = type(value).__name__
        article = "an" if given[0] in "AEIOUaeiou" else "a"
        raise RequestError(f"{article} {given} is no {name}", next_step=next_step)


def check_whole(value: object, argument: str) -> None:
    """ArgumentError where an argument from Python is no whole number: `'2' is no whole number`."""
    if not isinstance(value, SupportsIndex):
        raise ArgumentError(f"{value!r} is no whole number", place=argument, next_step="Give for example 3")


FRAMES = {
    "Route": "note_frame, change_frame, ledger_frame or curve_frame",
    "GripList": "grip_frame",
    "TrillList": "trill_frame",
    "Near": "steps_frame",
    "Bridge": "steps_frame",
    "HardChanges": "hardest_frame or hardest_matrix",
    "Plan": "reached_frame",
}
"""Of each value the functions that make a frame of it."""


def check_frame_of(value: object, kind: type | UnionType, makers: str) -> None:
    """RequestError where a frame is asked of a value that is none of this kind, with the function for it.

    `makers` are the functions that give what this frame is made of.
    """
    right = FRAMES.get(type(value).__name__)
    step = f"The frame of it is {right}" if right else f"Give what {makers} gives"
    check_kind(value, kind, f"value that {makers} gives", step)


class ScoreError(GripwayError):
    """A score that cannot be read, or not as asked."""


class TacetError(ScoreError):
    """A part that has no note to play: its score is as it should be."""


class NotationError(ScoreError):
    """A word of the one-line notation that means nothing."""


class PlayerFileError(GripwayError):
    """The player's own file: the place is file:key."""


class HouseStyleError(GripwayError):
    """The file of a house style: the place is file:key."""


class DecisionsFileError(GripwayError):
    """The file of an editor's decisions: the place is file, number of the decision and key."""


class MarksListError(GripwayError):
    """The list of our marks beside a score: the place is file, number of the entry and key."""


class RulesFileError(GripwayError):
    """The player's own rules: the place is file, rule number and key."""


class RecordingError(GripwayError):
    """A recording that cannot be read, or not be used; the place is the file, and the time in it."""


class ImpossibleHoldError(GripwayError):
    """A grip that cannot be held on this instrument; `what` gives the reason."""


class TableError(GripwayError):
    """A table of the project that breaks its own rules; the place is table:row:column."""
