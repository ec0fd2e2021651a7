"""The pairs of a trill as a player reads them."""

from rich.console import Console

from gripway.candidates.cents import cents_words
from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.sources import citation
from gripway.cli.text.route_rows import MOVES
from gripway.cli.text.terminal import Cell, paint, print_indented, print_table, rendered, words
from gripway.effort.candidate import Candidate
from gripway.model.instrument import Instrument
from gripway.trills.pair import INTERVALS, Pair, interval_text
from gripway.trills.trill_list import TrillList, pair_flags

UNKNOWN = "unknown"
COLUMNS = ("no.", "{lower}", "{upper}", "fingers", "a second", "cents", "interval", "kind", "use")
LEGEND = """\
fingers: from the lower note to the upper one, + goes down, - goes up, ~ slides, > goes across
a second: notes at the limit of the fingers (indicative: believe the order); cents: lower, upper
note from equal temperament ± spread; interval: what the trill comes out at\
"""


@rendered
def trill_text(console: Console, found: TrillList, instrument: Instrument, *, explain: bool = False) -> None:
    """The list in at most 100 columns."""
    width = INTERVALS[found.upper.number - found.lower.number]
    title = f"{found.lower.name} with {found.upper.name}, {width}, on the {full_title(instrument)}"
    console.print(title, style="bold", markup=False)
    for line in _best(found):
        console.print(words(line))
    if found.problem:
        console.print(words(found.problem))
    for remark in found.remarks:
        console.print(words(remark))
    console.print()
    if found.pairs:
        columns = [name.format(lower=found.lower.name, upper=found.upper.name) for name in COLUMNS]
        rows = [_row(place, pair) for place, pair in enumerate(found.pairs, start=1)]
        print_table(console, "", columns, rows, "use")
        console.print(LEGEND)
    if explain:
        for place, pair in enumerate(found.pairs, start=1):
            _explain(console, place, pair)


def _best(found: TrillList) -> list[str]:
    """What both notes of the best pair lean; nothing where this flute can play none."""
    best = next((pair for pair in found.pairs if not pair.lacking), None)
    if best is None:
        return []
    known = [
        f"{pitch.name} {cents} cents" if (cents := _cents(side)) != UNKNOWN else f"{pitch.name} unknown"
        for pitch, side in ((found.lower, best.lower), (found.upper, best.upper))
    ]
    return [f"best pair: {', '.join(known)}; {interval_text(best)}"]


def _row(place: int, pair: Pair) -> tuple[Cell, ...]:
    use = "; ".join(filter(None, (pair.remark, *pair_flags(pair))))
    return (
        str(place),
        paint(pair.lower.grip.short, "bold" if place == 1 else ""),
        paint(pair.upper.grip.short, "bold" if place == 1 else ""),
        fingers_text(pair),
        f"{pair.notes_per_s:.1f}",
        ", ".join(_cents(candidate) for candidate in (pair.lower, pair.upper)),
        interval_text(pair),
        pair.kind,
        use,
    )


def fingers_text(pair: Pair) -> str:
    """The movers from the lower note to the upper one: `L2-`."""
    return " ".join(f"{finger}{MOVES[how]}" for finger, how in pair.change.movers)


def _cents(candidate: Candidate) -> str:
    return cents_words(candidate.tendency) or UNKNOWN


def _explain(console: Console, place: int, pair: Pair) -> None:
    """Everything a pair's place in the list is made of, and where it comes from."""
    console.print()
    name = f"{place}. {pair.lower.grip.text} ~ {pair.upper.grip.text}"
    sure = f", confidence {pair.said.confidence}" if pair.said else ""
    console.print(words(f"{name} ({pair.kind}{sure})", "bold"))
    print_indented(console, *_figures(pair), *_notes(pair), *_sources(pair))


def _figures(pair: Pair) -> list[str]:
    points = ", ".join(f"{name} {size:.2f}" for name, size in pair.parts) or "none"
    change = pair.change
    terms = ", ".join(f"{name} +{size:.0%}" for name, size in change.terms)
    slide = f", slide x{change.slide:g}" if change.slide > 1.0 else ""
    times = f"slowest finger x{change.slowest:g}{', ' if terms else ''}{terms}{slide}"
    lines = [
        f"points {pair.points:.2f}: {points}",
        f"change {change.alternating_ms:.0f} ms: {times}",
    ]
    if pair.strays:
        lines.append(f"may sound on the way: {', '.join(pair.strays)} (model)")
    return lines


def _notes(pair: Pair) -> list[str]:
    """How each note's cents are known, what it descends from, how it speaks."""
    lines = []
    for side, candidate in (("lower", pair.lower), ("upper", pair.upper)):
        tendency = candidate.tendency
        parts = [f"{candidate.kind} grip"]
        if tendency.cents is not None:
            versus = (
                "" if tendency.vs_standard is None else f", {round(tendency.vs_standard):+d} against standard"
            )
            parts.append(f"{_cents(candidate)} cents{versus} ({tendency.known})")
        if candidate.disputed:
            parts.append(candidate.disputed)
        if candidate.lineage:
            parts.append(f"lineage {candidate.lineage}")
        if candidate.response:
            parts.append(f"response {candidate.response}")
        lines.append(f"{side} note: {'; '.join(parts)}")
    return lines


def _sources(pair: Pair) -> list[str]:
    return [f"source: {citation(key)}" for key in pair.sources]
