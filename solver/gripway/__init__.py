"""gripway: the least awkward way through the grips of a written flute passage.

    import gripway

    passage = gripway.notes("E6 F#6 G#6 A6", tempo=120)
    route = gripway.finger(passage, gripway.flute())
    print(gripway.note_frame(route))

The names below are loaded when they are first used, so that importing gripway costs nothing. Nothing
else is loaded here: a Ctrl-C is understood from `__main__` on only.
"""

TYPE_CHECKING = False

if TYPE_CHECKING:
    from typing import Any

    from gripway.errors import GripwayError as GripwayError
    from gripway.tasks.consistency_lists import consistency as consistency
    from gripway.tasks.diagrams import diagram as diagram
    from gripway.tasks.editions import edit as edit
    from gripway.tasks.flute_player import FlutePlayer as FlutePlayer
    from gripway.tasks.flutes import flute as flute
    from gripway.tasks.flutes import player as player
    from gripway.tasks.graphs import bridge as bridge
    from gripway.tasks.graphs import graph as graph
    from gripway.tasks.graphs import hardest as hardest
    from gripway.tasks.graphs import hardest_frame as hardest_frame
    from gripway.tasks.graphs import hardest_matrix as hardest_matrix
    from gripway.tasks.graphs import near as near
    from gripway.tasks.graphs import steps_frame as steps_frame
    from gripway.tasks.grip_lists import grip_frame as grip_frame
    from gripway.tasks.grip_lists import grips as grips
    from gripway.tasks.other_routes import alternatives as alternatives
    from gripway.tasks.other_routes import tradeoff as tradeoff
    from gripway.tasks.pattern_cell_lists import PatternQuestion as PatternQuestion
    from gripway.tasks.pattern_cell_lists import hard_patterns as hard_patterns
    from gripway.tasks.practice_sheets import plan_sheet as plan_sheet
    from gripway.tasks.practise import PracticeTime as PracticeTime
    from gripway.tasks.practise import practise as practise
    from gripway.tasks.practise import reached_frame as reached_frame
    from gripway.tasks.reports import report as report
    from gripway.tasks.routes import change_frame as change_frame
    from gripway.tasks.routes import finger as finger
    from gripway.tasks.routes import note_frame as note_frame
    from gripway.tasks.routes import worth_it as worth_it
    from gripway.tasks.scores import house_style as house_style
    from gripway.tasks.scores import mark as mark
    from gripway.tasks.scores import notes as notes
    from gripway.tasks.scores import read as read
    from gripway.tasks.trill_lists import trill as trill
    from gripway.tasks.trill_lists import trill_frame as trill_frame

_HOMES = {
    "FlutePlayer": "gripway.tasks.flute_player",
    "GripwayError": "gripway.errors",
    "PatternQuestion": "gripway.tasks.pattern_cell_lists",
    "PracticeTime": "gripway.tasks.practise",
    "alternatives": "gripway.tasks.other_routes",
    "bridge": "gripway.tasks.graphs",
    "change_frame": "gripway.tasks.routes",
    "consistency": "gripway.tasks.consistency_lists",
    "diagram": "gripway.tasks.diagrams",
    "edit": "gripway.tasks.editions",
    "finger": "gripway.tasks.routes",
    "flute": "gripway.tasks.flutes",
    "graph": "gripway.tasks.graphs",
    "grip_frame": "gripway.tasks.grip_lists",
    "grips": "gripway.tasks.grip_lists",
    "hard_patterns": "gripway.tasks.pattern_cell_lists",
    "hardest": "gripway.tasks.graphs",
    "hardest_frame": "gripway.tasks.graphs",
    "hardest_matrix": "gripway.tasks.graphs",
    "house_style": "gripway.tasks.scores",
    "mark": "gripway.tasks.scores",
    "near": "gripway.tasks.graphs",
    "note_frame": "gripway.tasks.routes",
    "notes": "gripway.tasks.scores",
    "plan_sheet": "gripway.tasks.practice_sheets",
    "player": "gripway.tasks.flutes",
    "practise": "gripway.tasks.practise",
    "reached_frame": "gripway.tasks.practise",
    "read": "gripway.tasks.scores",
    "report": "gripway.tasks.reports",
    "steps_frame": "gripway.tasks.graphs",
    "tradeoff": "gripway.tasks.other_routes",
    "trill": "gripway.tasks.trill_lists",
    "trill_frame": "gripway.tasks.trill_lists",
    "worth_it": "gripway.tasks.routes",
}

__all__ = [
    "FlutePlayer",
    "GripwayError",
    "PatternQuestion",
    "PracticeTime",
    "alternatives",
    "bridge",
    "change_frame",
    "consistency",
    "diagram",
    "edit",
    "finger",
    "flute",
    "graph",
    "grip_frame",
    "grips",
    "hard_patterns",
    "hardest",
    "hardest_frame",
    "hardest_matrix",
    "house_style",
    "mark",
    "near",
    "note_frame",
    "notes",
    "plan_sheet",
    "player",
    "practise",
    "reached_frame",
    "read",
    "report",
    "steps_frame",
    "tradeoff",
    "trill",
    "trill_frame",
    "worth_it",
]


def __getattr__(name: str) -> "Any":
    if name not in __all__:
        raise AttributeError(f"module 'gripway' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
