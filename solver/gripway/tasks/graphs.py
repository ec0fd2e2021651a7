"""The grips of a range as a graph, questions to it, and the hardest changes of a range."""

from typing import TYPE_CHECKING

from gripway.effort.setting import Link
from gripway.errors import RequestError, check_frame_of, check_whole
from gripway.model.instrument import Instrument
from gripway.model.pitch import asked_pitch, plain_name
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.route.solve import Progress
from gripway.tasks.flute_player import Flute, flute_player

if TYPE_CHECKING:
    import networkx as nx
    import pandas as pd

    from gripway.grip_graph.hardest import HardChanges
    from gripway.grip_graph.questions import Bridge, Near

LOWEST, HIGHEST = "C4", "D7"
"""The range of a graph nobody gave another: the flute as composers write for it."""

OCTAVE = 12
BESIDE = 2
"""Semitones outside its two ends where a bridge may go."""

SHORTEST_MS, LONGEST_MS = 10.0, 10_000.0
"""Times from onset to onset that a change can be asked about."""

DEFAULT_MS = 125.0
"""A sixteenth at quarter = 120."""


def graph(
    instrument: Flute,
    lowest: str | None = None,
    highest: str | None = None,
    available_ms: float = DEFAULT_MS,
    player: Player = PLAIN_PLAYER,
    progress: Progress | None = None,
) -> "nx.DiGraph[str]":
    """The grips of a range as a networkx graph, every change with its ledger at one speed.

    Without `lowest` and `highest` from C4 to D7, as far as the instrument goes. `available_ms` is the
    time from onset to onset the changes are judged in (slurred, in a line). See gripway.grip_graph.graph
    for exports. Raises RequestError for an empty range or an impossible time.

    >>> import gripway
    >>> len(gripway.graph(gripway.flute(), "D6", "E6"))
    33
    """
    from gripway.grip_graph.graph import grip_graph

    mine = flute_player(instrument, player)
    working, flute = mine.plain, mine.instrument
    pitches = _range(flute, lowest, highest)
    return grip_graph(working.book, working.model, pitches, _link(available_ms), progress=progress)


def near(
    instrument: Flute,
    grip: str,
    fingers: int = 1,
    of: str | None = None,
    within: int = OCTAVE,
    available_ms: float = DEFAULT_MS,
    player: Player = PLAIN_PLAYER,
) -> "Near":
    """The grips at most `fingers` moving fingers from a grip, easiest change first.

    `grip` is `E6: T 1 2 | Eb`, or `E6` for its standard grip. The grips are those of the pitch `of`, or
    of every pitch within so many semitones. Raises RequestError for an unknown pitch or grip.

    >>> import gripway
    >>> gripway.near(gripway.flute(), "E6", fingers=1, of="F6")
    <Near: E6: T L1 L2 | R1 R2 Eb, 1 grip>
    """
    from gripway.grip_graph.graph import grip_graph, node_name
    from gripway.grip_graph.questions import Near, find_grip, neighbours

    check_whole(fingers, "fingers")
    check_whole(within, "within")
    mine = flute_player(instrument, player)
    working, flute = mine.plain, mine.instrument
    start = find_grip(working.book, grip, "near")
    asked = (
        [find_grip(working.book, of, "of").pitch] if of else _around(flute, start.pitch, start.pitch, within)
    )
    span = max(OCTAVE, *(abs(pitch - start.pitch) for pitch in asked))
    node = node_name(start)
    found = grip_graph(
        working.book, working.model, {start.pitch, *asked}, _link(available_ms), span=span, start=node
    )
    wanted = {plain_name(pitch) for pitch in asked}
    names = neighbours(found, node, fingers=fingers)
    return Near(found, node, tuple(name for name in names if found.nodes[name]["pitch"] in wanted))


def bridge(
    instrument: Flute,
    start: str,
    end: str,
    fingers: int = 2,
    stops: int = 3,
    within: int = BESIDE,
    available_ms: float = DEFAULT_MS,
    player: Player = PLAIN_PLAYER,
) -> "Bridge":
    """The cheapest chain of small changes from one grip to another; see gripway.grip_graph.questions.

    Each change moves at most `fingers` fingers, with at most `stops` grips in between, of pitches between the
    two or up to `within` semitones outside. Grips are written as for `near`. Raises RequestError for an
    unknown pitch or grip, and where both are the same. `available_ms` is the time from onset to onset.

    >>> import gripway
    >>> gripway.bridge(gripway.flute(), "A6", "B6", available_ms=150).notes
    'A6 A6 G6 B6 B6'
    """
    from gripway.grip_graph.graph import grip_graph, node_name
    from gripway.grip_graph.questions import Bridge, cheapest_bridge, find_grip, fingers_needed

    mine = flute_player(instrument, player)
    working, flute = mine.plain, mine.instrument
    first, last = find_grip(working.book, start, "bridge"), find_grip(working.book, end, "bridge")
    if first == last:
        raise RequestError(
            f"{node_name(first)} is both ends", place="bridge", next_step="Name two different grips"
        )
    pitches = _around(flute, min(first.pitch, last.pitch), max(first.pitch, last.pitch), within)
    span = max(pitches) - min(pitches)
    found = grip_graph(working.book, working.model, pitches, _link(available_ms), span=span)
    ends = node_name(first), node_name(last)
    path = cheapest_bridge(found, *ends, fingers=fingers, stops=stops)
    return Bridge(found, *ends, path, None if path else fingers_needed(found, *ends, stops))


def hardest(
    instrument: Flute,
    lowest: str | None = None,
    highest: str | None = None,
    available_ms: float = DEFAULT_MS,
    pair: str = "standard",
    player: Player = PLAIN_PLAYER,
    progress: Progress | None = None,
) -> "HardChanges":
    """Every change between two pitches of a range, to be laid out by `hardest_matrix` and `hardest_frame`.

    Without a range the third octave, C6 to B6; with one end of it the octave from there. `pair` is `standard`
    (the standard grips) or `best` (the grips `finger` takes for the two notes alone). Raises RequestError for
    an empty range or an impossible time. `available_ms` is the time from onset to onset.

    >>> import gripway
    >>> gripway.hardest(gripway.flute(), "F#6", "B6", available_ms=150)
    <HardChanges: concert-flute, 6 pitches, 30 changes, 150 ms>
    """
    from gripway.grip_graph.hardest import PAIRS, hard_changes

    if pair not in PAIRS:
        raise RequestError(
            f"{pair!r} is no pair of grips", place="pair", next_step=f"Choose {' or '.join(PAIRS)}"
        )
    mine = flute_player(instrument, player)
    working, flute = mine.plain, mine.instrument
    pitches = _range(flute, *_octave(flute, lowest, highest))
    found = hard_changes(working, tuple(pitches), _link(available_ms).available_ms, pair, progress)
    if len(found.pitches) < 2:
        raise RequestError(
            "no two pitches here have a grip", place=_title(pitches), next_step="Choose a wider range"
        )
    return found


def hardest_matrix(found: "HardChanges", measure: str = "load") -> "pd.DataFrame":
    """The changes of `hardest` as a square pandas frame: rows from a pitch, columns to a pitch.

    `measure` is load, ms, effort or fingers; RequestError for another. NaN on the diagonal and where
    the time allows no change.

    >>> import gripway
    >>> gripway.hardest_matrix(gripway.hardest(gripway.flute(), "F#6", "B6")).shape
    (6, 6)
    """
    from gripway.grip_graph.hardest import HardChanges, matrix_frame

    check_frame_of(found, HardChanges, "hardest(...)")
    return matrix_frame(found, _measure(measure))


def hardest_frame(found: "HardChanges", most: int = 10, measure: str = "load") -> "pd.DataFrame":
    """The hardest changes of `hardest` as a pandas frame, worst first, with movers and reasons.

    A change and its way back stand once, where they are worse. `measure` as for `hardest_matrix`.

    >>> import gripway
    >>> len(gripway.hardest_frame(gripway.hardest(gripway.flute(), "F#6", "B6"), most=3))
    3
    """
    from gripway.grip_graph.hardest import HardChanges, pair_frame

    check_frame_of(found, HardChanges, "hardest(...)")
    return pair_frame(found, most, _measure(measure))


def steps_frame(found: "Near | Bridge") -> "pd.DataFrame":
    """The changes of `near` or `bridge` as a pandas frame, one row a change, with its ledger.

    Times are in ms, efforts as the search counts them.

    >>> import gripway
    >>> gripway.steps_frame(gripway.bridge(gripway.flute(), "A6", "B6"))["to"].iloc[-1]
    'B6: T L1 L3 | Kds'
    """
    from gripway.grip_graph.questions import Bridge, Near, answer_frame

    check_frame_of(found, Near | Bridge, "near(...) or bridge(...)")
    return answer_frame(found)


def _measure(name: str) -> str:
    from gripway.grip_graph.hardest import MEASURES

    if name not in MEASURES:
        raise RequestError(
            f"a change has no {name!r}", place="measure", next_step=f"Choose one of {', '.join(MEASURES)}"
        )
    return name


def _link(available_ms: float) -> Link:
    """The link of a slurred change inside a line; RequestError for a time nobody plays in."""
    if not SHORTEST_MS <= available_ms <= LONGEST_MS:  # not a number fails this too
        raise RequestError(
            f"{available_ms:g} ms is no time to change a grip in",
            place="the time from onset to onset",
            next_step=f"Give {SHORTEST_MS:g} to {LONGEST_MS:g} ms",
        )
    return Link(float(available_ms), 0.0, slurred=True)


def _range(instrument: Instrument, lowest: str | None, highest: str | None) -> range:
    """Note numbers of a range; RequestError for one that is empty or leaves the instrument."""
    low = (
        max(instrument.lowest, asked_pitch(LOWEST).number) if lowest is None else _inside(instrument, lowest)
    )
    high = (
        min(instrument.highest, asked_pitch(HIGHEST).number)
        if highest is None
        else _inside(instrument, highest)
    )
    if low > high:
        raise RequestError(
            "the range is empty: its lower end lies above its upper end",
            place=f"{plain_name(low)} to {plain_name(high)}",
            next_step="Name the lower pitch first",
        )
    return range(low, high + 1)


def _octave(instrument: Instrument, lowest: str | None, highest: str | None) -> tuple[str | None, str | None]:
    """Both ends of the range of `hardest`: an octave where one is open, the third where both are."""
    if lowest is None and highest is None:
        return "C6", "B6"
    if highest is None and lowest is not None:
        return lowest, plain_name(min(instrument.highest, asked_pitch(lowest).number + OCTAVE - 1))
    if lowest is None and highest is not None:
        return plain_name(max(instrument.lowest, asked_pitch(highest).number - OCTAVE + 1)), highest
    return lowest, highest


def _inside(instrument: Instrument, text: str) -> int:
    number = asked_pitch(text).number
    if not instrument.lowest <= number <= instrument.highest:
        reach = f"{plain_name(instrument.lowest)} to {plain_name(instrument.highest)}"
        raise RequestError(
            f"outside the {instrument.title}", place=text, next_step=f"Its tables cover {reach}"
        )
    return number


def _around(instrument: Instrument, low: int, high: int, within: int) -> range:
    return range(max(instrument.lowest, low - within), min(instrument.highest, high + within) + 1)


def _title(pitches: range) -> str:
    return f"{plain_name(pitches[0])} to {plain_name(pitches[-1])}"
