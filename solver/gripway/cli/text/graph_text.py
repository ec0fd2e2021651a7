"""The graph of grips as a player reads it: a summary, near grips, a bridge."""

from collections import Counter
from typing import TYPE_CHECKING, Any

from rich.console import Console

from gripway.catalog.flute.instruments import full_title
from gripway.cli.text.route_rows import MOVES
from gripway.cli.text.terminal import Cell, paint, print_table, rendered, words
from gripway.display import counted
from gripway.effort.load import LATE
from gripway.grip_graph.graph import NOT_POSSIBLE
from gripway.grip_graph.questions import Bridge, Near, answer_rows
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument

if TYPE_CHECKING:
    import networkx as nx

SUMMARY = ("pitch", "grips", "kinds", "in time", "one finger")
CHANGES = ("pitch", "grip", "kind", "cents", "fingers", "needs", "load", "effort")
FINGERS = "fingers: + goes down, - goes up, ~ slides, > goes across"
LOAD = "load: the time the fingers need over the time they have; above 1 they come late"
KINDS = ("standard", "alternate", "vented", "trill", "harmonic")


@rendered
def graph_text(
    console: Console, graph: "nx.DiGraph[str]", instrument: Instrument, available_ms: float
) -> None:
    """How many grips each pitch has, and how easily one gets away from them."""
    _head(console, instrument, available_ms)
    late = sum(facts["load"] > LATE for _, _, facts in graph.edges(data=True))
    grips, changes = graph.number_of_nodes(), graph.number_of_edges()
    never = graph.graph[NOT_POSSIBLE]
    judged = f"{changes - late} in time, {late} late, {never} not possible in this time"
    console.print(words(f"{grips} grips, {changes + never} changes of at most an octave: {judged}"))
    console.print()
    if grips:
        print_table(console, "", SUMMARY, _summary(graph))
        console.print(
            "in time: changes away from the pitch with a load up to 1; one finger: those of one mover"
        )


def _summary(graph: "nx.DiGraph[str]") -> list[tuple[Cell, ...]]:
    """One row a pitch."""
    kinds: dict[str, Counter[str]] = {}
    for _, facts in graph.nodes(data=True):
        kinds.setdefault(facts["pitch"], Counter())[facts["kind"]] += 1
    away: dict[str, Counter[str]] = {pitch: Counter() for pitch in kinds}
    for before, _, change in graph.edges(data=True):
        counts = away[graph.nodes[before]["pitch"]]
        counts["in time"] += change["load"] <= LATE
        counts["one"] += change["fingers"] == 1
    return [
        (
            pitch,
            str(found.total()),
            ", ".join(f"{found[kind]} {kind}" for kind in KINDS if found[kind]),
            *(str(away[pitch][name]) for name in ("in time", "one")),
        )
        for pitch, found in kinds.items()
    ]


@rendered
def near_text(
    console: Console, found: Near, instrument: Instrument, fingers: int, where: str, available_ms: float
) -> None:
    """The grips near one, easiest change first."""
    _head(console, instrument, available_ms)
    asked = f"{where}, at most {counted(fingers, 'moving finger')} from {_short(found.start)}"
    if not found.grips:
        console.print(words(f"No grip {asked}. Allow more with --fingers {fingers + 1}"))
        return
    _print_changes(console, f"Grips {asked}", answer_rows(found), available_ms)


@rendered
def bridge_text(
    console: Console, found: Bridge, instrument: Instrument, fingers: int, stops: int, available_ms: float
) -> None:
    """The chain of small changes, and what the direct change would be."""
    _head(console, instrument, available_ms)
    console.print(words(f"From {_short(found.start)} to {_short(found.end)}", "bold"))
    console.print(words(_direct(found, available_ms)))
    if not found.path:
        console.print(words(_no_bridge(found, fingers, stops)))
        return
    if len(found.path) == 2:
        console.print(words("The direct change is the cheapest: it moves few fingers as it is"))
    console.print()
    _print_changes(console, f"Bridge of at most {fingers} fingers a step", answer_rows(found), available_ms)
    hardest = max(found.graph.edges[change]["load"] for change in found.changes)
    console.print(words(f"together: effort {found.effort:.2f}; the hardest step has load {hardest:.2f}"))
    console.print(words(f"notes: {found.notes}"))


def _direct(found: Bridge, available_ms: float) -> str:
    change = found.direct
    if change is None:
        return "The direct change cannot be made in this time: the thumb would have to slide"
    needs = f"{change['load'] * available_ms:.0f} ms"  # as the load counts it, slurred
    work = f"{counted(change['fingers'], 'finger')} ({_moves(change['movers'])}), {needs}"
    return f"Direct: {work}, load {change['load']:.2f}, effort {change['effort']:.2f}"


def _no_bridge(found: Bridge, fingers: int, stops: int) -> str:
    none = f"No bridge of at most {fingers} fingers a step and {stops} stops"
    if found.needed is None:
        return f"{none}. Allow more time with --available"
    return f"{none}: with so many stops it takes --fingers {found.needed}; or allow more --stops"


def _print_changes(console: Console, title: str, rows: list[dict[str, Any]], available_ms: float) -> None:
    print_table(console, title, CHANGES, [_row(row, available_ms) for row in rows])
    console.print(FINGERS)
    console.print(LOAD)


def _row(row: dict[str, Any], available_ms: float) -> tuple[Cell, ...]:
    load = float(row["load"])
    return (
        row["pitch"],
        Grip.parse(row["grip"]).short,
        "" if row["kind"] == "standard" else row["kind"],
        "" if row["cents"] is None else f"{round(row['cents']):+d}",
        _moves(row["movers"]),
        f"{load * available_ms:.0f} ms",
        paint(f"{load:.2f}{'!' if load > LATE else ''}", "bold red" if load > LATE else ""),
        f"{row['effort']:.2f}",
    )


def _moves(movers: str) -> str:
    """`L2 up L3 down` as `L2- L3+`."""
    told = movers.split()
    pairs = zip(told[::2], told[1::2], strict=True)
    return " ".join(f"{finger}{MOVES[how]}" for finger, how in pairs) or "none"


def _short(node: str) -> str:
    """A node with its grip as a player reads it."""
    pitch, _, grip = node.partition(": ")
    return f"{pitch} {Grip.parse(grip).short}"


def _head(console: Console, instrument: Instrument, available_ms: float) -> None:
    time = f"{available_ms:g} ms from onset to onset, slurred"
    console.print(f"{full_title(instrument)} · {time}", style="bold", markup=False)
