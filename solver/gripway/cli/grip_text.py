"""The grips of a pitch as a player reads them."""

from rich.console import Console
from rich.padding import Padding

from gripway.catalog.sources import sources
from gripway.cli.terminal import Cell, paint, print_table, render, words
from gripway.model.instrument import Instrument
from gripway.route.grip_list import GripFact, GripList

COLUMNS = ("grip", "kind", "cents", "vs", "from", "response", "use")
LEGEND = "cents: lean from equal temperament ± spread; vs: against the standard grip; from: how it is known"


def grip_text(found: GripList, instrument: Instrument, *, explain: bool = False) -> str:
    """The list in at most 100 columns."""

    def write(console: Console) -> None:
        parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
        console.print(f"{found.pitch.name} on the {instrument.title}{parts}", style="bold", markup=False)
        if found.problem:
            console.print(found.problem + _remedy(found, instrument), markup=False)
        console.print()
        if found.grips:
            print_table(console, "", COLUMNS, [_row(fact) for fact in found.grips])
            console.print(LEGEND)
        if explain:
            _explain(console, found, instrument)

    return render(write)


def _remedy(found: GripList, instrument: Instrument) -> str:
    """How to name a part that a grip of the pitch needs, where one is lacking."""
    lacking = sorted({part for fact in found.grips for part in fact.row.needs} - set(instrument.parts))
    return f", for example --with {lacking[0]}" if lacking else ""


def _row(fact: GripFact) -> tuple[Cell, ...]:
    use = "; ".join(part for part in (fact.row.use, *fact.flags) if part)
    style = "bold" if fact.row.kind == "standard" else ""
    return (paint(fact.grip.short, style), fact.row.kind, *_cents(fact), fact.row.response, use)


def _cents(fact: GripFact) -> tuple[str, str, str]:
    tendency = fact.candidate.tendency if fact.candidate else None
    if tendency is None or tendency.cents is None:
        return "", "", "unknown" if fact.candidate else ""
    spread = "" if tendency.spread_cents is None else f" ±{tendency.spread_cents:.0f}"
    versus = "" if tendency.vs_standard is None else f"{tendency.vs_standard:+.0f}"
    return f"{tendency.cents:+.0f}{spread}", versus, tendency.source


def _explain(console: Console, found: GripList, instrument: Instrument) -> None:
    known = sources()
    for fact in found.grips:
        console.print()
        console.print(
            f"{fact.grip.text} ({fact.row.kind}, confidence {fact.row.confidence})",
            style="bold",
            markup=False,
        )
        if fact.candidate:
            holes = instrument.mechanism.open_holes(fact.grip)
            console.print("  open holes: " + " ".join(hole.title for hole in holes), markup=False)
            if fact.candidate.lineage:
                console.print(f"  lineage: {fact.candidate.lineage}", markup=False)
        for key in fact.row.sources:
            citation = known[key].citation if key in known else key
            console.print(Padding(words(f"source: {citation}"), (0, 0, 0, 2)))
