"""gripway: the least awkward way through the grips of a written flute passage.

    import gripway

    passage = gripway.notes("E6 F#6 G#6 A6", tempo=120)
    route = gripway.finger(passage, gripway.flute())
    print(gripway.note_frame(route))

Begin with `notes` or `read` (a passage), `flute` (an instrument) and `finger` (the route); every name
has its help, and `gripway.__all__` lists them. The names below are loaded when they are first used, so
that importing gripway costs nothing. Nothing else is loaded here: a Ctrl-C is understood from
`__main__` on only.
"""

TYPE_CHECKING = False

if TYPE_CHECKING:
    from typing import Any

    from gripway.asked.found_wishes import FoundWishes as FoundWishes
    from gripway.asked.limits import Limits as Limits
    from gripway.asked.wishes import Pin as Pin
    from gripway.asked.wishes import Wishes as Wishes
    from gripway.candidates.grip_list import GripList as GripList
    from gripway.compare.alternatives import Choices as Choices
    from gripway.compare.alternatives import Distance as Distance
    from gripway.compare.own_cents_changes import OwnCentsChange as OwnCentsChange
    from gripway.compare.tradeoff import Tradeoff as Tradeoff
    from gripway.edition.consistency import Finding as Finding
    from gripway.effort.candidate import Candidate as Candidate
    from gripway.effort.ledger import Ledger as Ledger
    from gripway.errors import GripwayError as GripwayError
    from gripway.grip_graph.hardest import HardChanges as HardChanges
    from gripway.grip_graph.questions import Bridge as Bridge
    from gripway.grip_graph.questions import Near as Near
    from gripway.listening.listened import Listened as Listened
    from gripway.listening.listened import take_frame as take_frame
    from gripway.listening.times.evenness import Evenness as Evenness
    from gripway.listening.times.finger_pairs import FingerPair as FingerPair
    from gripway.listening.times.heard_times import HeardTimes as HeardTimes
    from gripway.listening.what_to_record import RecordingCard as RecordingCard
    from gripway.model.grip import Grip as Grip
    from gripway.model.house_style import HouseStyle as HouseStyle
    from gripway.model.instrument import Instrument as Instrument
    from gripway.model.key import Key as Key
    from gripway.model.passage import Note as Note
    from gripway.model.passage import Passage as Passage
    from gripway.model.passage import Remark as Remark
    from gripway.model.pitch import Pitch as Pitch
    from gripway.model.player import Ban as Ban
    from gripway.model.player import OwnTimes as OwnTimes
    from gripway.model.player import Player as Player
    from gripway.practice.plan.plan import Plan as Plan
    from gripway.route.result import Route as Route
    from gripway.route.result import RouteChange as RouteChange
    from gripway.route.result import RouteNote as RouteNote
    from gripway.route.tempo.tempo_threshold import Worth as Worth
    from gripway.route.words.sentence import sentence as sentence
    from gripway.score.reading.read_options import ReadOptions as ReadOptions
    from gripway.score.reading.score_reading import ScoreReading as ScoreReading
    from gripway.tasks.diagrams import diagram as diagram
    from gripway.tasks.editions import Edition as Edition
    from gripway.tasks.editions import edit as edit
    from gripway.tasks.flute_player import FlutePlayer as FlutePlayer
    from gripway.tasks.flutes import flute as flute
    from gripway.tasks.flutes import player as player
    from gripway.tasks.flutes import use_tables as use_tables
    from gripway.tasks.graphs import bridge as bridge
    from gripway.tasks.graphs import graph as graph
    from gripway.tasks.graphs import hardest as hardest
    from gripway.tasks.graphs import hardest_frame as hardest_frame
    from gripway.tasks.graphs import hardest_matrix as hardest_matrix
    from gripway.tasks.graphs import near as near
    from gripway.tasks.graphs import steps_frame as steps_frame
    from gripway.tasks.grip_lists import grip_frame as grip_frame
    from gripway.tasks.grip_lists import grips as grips
    from gripway.tasks.marks.consistency_lists import consistency as consistency
    from gripway.tasks.marks.marked_scores import house_style as house_style
    from gripway.tasks.marks.marked_scores import mark as mark
    from gripway.tasks.other_routes import alternatives as alternatives
    from gripway.tasks.other_routes import tradeoff as tradeoff
    from gripway.tasks.own.finger_times import own_times as own_times
    from gripway.tasks.own.finger_times import pairs_to_record as pairs_to_record
    from gripway.tasks.own.finger_times import save_own_times as save_own_times
    from gripway.tasks.own.passage_evenness import evenness as evenness
    from gripway.tasks.own.passage_evenness import evenness_page as evenness_page
    from gripway.tasks.own.record_first import record_first as record_first
    from gripway.tasks.own.recordings import keep_cents as keep_cents
    from gripway.tasks.own.recordings import listen as listen
    from gripway.tasks.own.tastes import learn_taste as learn_taste
    from gripway.tasks.own.tastes import write_taste as write_taste
    from gripway.tasks.own.traced_cents import traced_cents as traced_cents
    from gripway.tasks.pattern_cell_lists import HardPatterns as HardPatterns
    from gripway.tasks.pattern_cell_lists import PatternQuestion as PatternQuestion
    from gripway.tasks.pattern_cell_lists import hard_patterns as hard_patterns
    from gripway.tasks.practice_sheets import plan_sheet as plan_sheet
    from gripway.tasks.practise import PracticeTime as PracticeTime
    from gripway.tasks.practise import practise as practise
    from gripway.tasks.practise import reached_frame as reached_frame
    from gripway.tasks.reports import report as report
    from gripway.tasks.routes import change_frame as change_frame
    from gripway.tasks.routes import curve_frame as curve_frame
    from gripway.tasks.routes import finger as finger
    from gripway.tasks.routes import ledger_frame as ledger_frame
    from gripway.tasks.routes import note_frame as note_frame
    from gripway.tasks.routes import wishes as wishes
    from gripway.tasks.routes import worth_it as worth_it
    from gripway.tasks.scores import notes as notes
    from gripway.tasks.scores import read as read
    from gripway.tasks.trill_lists import trill as trill
    from gripway.tasks.trill_lists import trill_frame as trill_frame
    from gripway.taste.taste import Taste as Taste
    from gripway.trills.trill_list import TrillList as TrillList

    __version__: str

_HOMES = {
    "Ban": "model.player",
    "Bridge": "grip_graph.questions",
    "Candidate": "effort.candidate",
    "Choices": "compare.alternatives",
    "Distance": "compare.alternatives",
    "Edition": "tasks.editions",
    "Evenness": "listening.times.evenness",
    "Finding": "edition.consistency",
    "FingerPair": "listening.times.finger_pairs",
    "FlutePlayer": "tasks.flute_player",
    "FoundWishes": "asked.found_wishes",
    "Grip": "model.grip",
    "GripList": "candidates.grip_list",
    "GripwayError": "errors",
    "HardChanges": "grip_graph.hardest",
    "HardPatterns": "tasks.pattern_cell_lists",
    "HeardTimes": "listening.times.heard_times",
    "HouseStyle": "model.house_style",
    "Instrument": "model.instrument",
    "Key": "model.key",
    "Ledger": "effort.ledger",
    "Limits": "asked.limits",
    "Listened": "listening.listened",
    "Near": "grip_graph.questions",
    "Note": "model.passage",
    "OwnCentsChange": "compare.own_cents_changes",
    "OwnTimes": "model.player",
    "Passage": "model.passage",
    "PatternQuestion": "tasks.pattern_cell_lists",
    "Pin": "asked.wishes",
    "Pitch": "model.pitch",
    "Plan": "practice.plan.plan",
    "Player": "model.player",
    "PracticeTime": "tasks.practise",
    "ReadOptions": "score.reading.read_options",
    "RecordingCard": "listening.what_to_record",
    "Remark": "model.passage",
    "Route": "route.result",
    "RouteChange": "route.result",
    "RouteNote": "route.result",
    "ScoreReading": "score.reading.score_reading",
    "Taste": "taste.taste",
    "Tradeoff": "compare.tradeoff",
    "TrillList": "trills.trill_list",
    "Wishes": "asked.wishes",
    "Worth": "route.tempo.tempo_threshold",
    "alternatives": "tasks.other_routes",
    "bridge": "tasks.graphs",
    "change_frame": "tasks.routes",
    "consistency": "tasks.marks.consistency_lists",
    "curve_frame": "tasks.routes",
    "diagram": "tasks.diagrams",
    "edit": "tasks.editions",
    "evenness": "tasks.own.passage_evenness",
    "evenness_page": "tasks.own.passage_evenness",
    "finger": "tasks.routes",
    "flute": "tasks.flutes",
    "graph": "tasks.graphs",
    "grip_frame": "tasks.grip_lists",
    "grips": "tasks.grip_lists",
    "hard_patterns": "tasks.pattern_cell_lists",
    "hardest": "tasks.graphs",
    "hardest_frame": "tasks.graphs",
    "hardest_matrix": "tasks.graphs",
    "house_style": "tasks.marks.marked_scores",
    "keep_cents": "tasks.own.recordings",
    "learn_taste": "tasks.own.tastes",
    "ledger_frame": "tasks.routes",
    "listen": "tasks.own.recordings",
    "mark": "tasks.marks.marked_scores",
    "near": "tasks.graphs",
    "note_frame": "tasks.routes",
    "notes": "tasks.scores",
    "own_times": "tasks.own.finger_times",
    "pairs_to_record": "tasks.own.finger_times",
    "plan_sheet": "tasks.practice_sheets",
    "player": "tasks.flutes",
    "practise": "tasks.practise",
    "reached_frame": "tasks.practise",
    "read": "tasks.scores",
    "record_first": "tasks.own.record_first",
    "report": "tasks.reports",
    "save_own_times": "tasks.own.finger_times",
    "sentence": "route.words.sentence",
    "steps_frame": "tasks.graphs",
    "take_frame": "listening.listened",
    "traced_cents": "tasks.own.traced_cents",
    "tradeoff": "tasks.other_routes",
    "trill": "tasks.trill_lists",
    "trill_frame": "tasks.trill_lists",
    "use_tables": "tasks.flutes",
    "wishes": "tasks.routes",
    "worth_it": "tasks.routes",
    "write_taste": "tasks.own.tastes",
}
"""Where each public name is defined."""

__all__ = list(_HOMES)

if not TYPE_CHECKING:  # else a checker of types would take every misspelt name for one of ours

    def __getattr__(name: str) -> "Any":
        from importlib import import_module, metadata

        if name == "__version__":
            return metadata.version("gripway")
        if name not in _HOMES:
            from difflib import get_close_matches

            near = get_close_matches(name, __all__, n=3)
            hint = f"; did you mean {', '.join(near)}?" if near else ""
            raise AttributeError(f"module 'gripway' has no attribute {name!r}{hint}")
        import_module("gripway.notebook").attach()
        return getattr(import_module(f"gripway.{_HOMES[name]}"), name)

    def __dir__() -> list[str]:
        return sorted([*__all__, "__version__", "__doc__", "__name__", "__file__", "__path__"])
