"""gripway: the least awkward way through the grips of a written flute passage.

    import gripway

    passage = gripway.notes("E6 F#6 G#6 A6", tempo=120)
    route = gripway.finger(passage, gripway.flute())
    print(gripway.note_frame(route))

The names below are loaded when they are first used, so that importing gripway costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gripway.errors import GripwayError as GripwayError
    from gripway.tasks import change_frame as change_frame
    from gripway.tasks import finger as finger
    from gripway.tasks import flute as flute
    from gripway.tasks import graph as graph
    from gripway.tasks import grip_frame as grip_frame
    from gripway.tasks import grips as grips
    from gripway.tasks import mark as mark
    from gripway.tasks import note_frame as note_frame
    from gripway.tasks import notes as notes
    from gripway.tasks import player as player
    from gripway.tasks import read as read
    from gripway.tasks import worth_it as worth_it

__all__ = [
    "GripwayError",
    "change_frame",
    "finger",
    "flute",
    "graph",
    "grip_frame",
    "grips",
    "mark",
    "note_frame",
    "notes",
    "player",
    "read",
    "worth_it",
]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'gripway' has no attribute {name!r}")
    return getattr(import_module("gripway.errors" if name == "GripwayError" else "gripway.tasks"), name)
