"""The grips of a pitch as a player reads them."""

from rich.console import Console

from gripway.candidates.cents import cents_words
from gripway.candidates.grip_list import GripFact, GripList
from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.sources import citation
from gripway.cli.text.terminal import Cell, paint, print_indented, print_table, rendered
from gripway.effort.candidate import Candidate, Tendency
from gripway.model.instrument import Instrument
from gripway.tasks.grip_lists import standing_wave

COLUMNS = ("grip", "kind", "cents", "vs", "from", "response", "use")
LEGEND = """\
cents: lean from equal temperament; vs: against the standard grip; ±: nine in ten flutes and players
are reckoned to lie within; from: how it is known, of what is taught the direction with gripway's size\
"""


@rendered
def grip_text(console: Console, found: GripList, instrument: Instrument, *, explain: bool = False) -> None:
    """The list in at most 100 columns."""
    console.print(f"{found.pitch.name} on the {full_title(instrument)}", style="bold", markup=False)
    if found.problem:
        console.print(found.problem + _remedy(found, instrument), markup=False)
    console.print()
    if found.grips:
        print_table(console, "", COLUMNS, [_row(fact) for fact in found.grips])
        console.print(LEGEND)
    if explain:
        _explain(console, found, instrument)


def _remedy(found: GripList, instrument: Instrument) -> str:
    """How to name a part that a grip of the pitch needs, where one is lacking."""
    lacking = sorted({part for fact in found.grips for part in fact.row.needs} - set(instrument.parts))
    return f", for example --with {lacking[0]}" if lacking else ""


def _row(fact: GripFact) -> tuple[Cell, ...]:
    use = "; ".join(part for part in (fact.row.use, *fact.flags) if part)
    style = "bold" if fact.row.kind == "standard" else ""
    return (paint(fact.grip.short, style), fact.row.kind, *_cents(fact), _response(fact), use)


def _cents(fact: GripFact) -> tuple[str, str, str]:
    tendency = fact.candidate.tendency if fact.candidate else None
    if tendency is None or tendency.cents is None:
        return "", "", "unknown" if fact.candidate else ""
    versus = "" if tendency.vs_standard is None else f"{round(tendency.vs_standard):+d}"
    if tendency.vs_spread_cents:
        versus += f" ±{tendency.vs_spread_cents:.0f}"
    return cents_words(tendency), versus, _known(tendency)


def _known(tendency: Tendency) -> str:
    """How a lean is known, in short: `taught lower`."""
    return f"{tendency.source} {tendency.word}" if tendency.source == "taught" else tendency.source


def _response(fact: GripFact) -> str:
    """The word for the response; one that only the model says is marked as an estimate."""
    word = fact.candidate.response if fact.candidate else fact.row.response
    estimated = not fact.row.response or fact.row.how == "modelled"
    return f"{word} (est.)" if word and estimated else word


def _explain(console: Console, found: GripList, instrument: Instrument) -> None:
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
            _model(console, found, instrument, fact.candidate)
        print_indented(console, *(f"source: {citation(key)}" for key in fact.row.sources))


def _model(console: Console, found: GripList, instrument: Instrument, candidate: Candidate) -> None:
    """What the model says of a grip: lineage, figures, and for the standard grip its standing wave."""
    if candidate.lineage:
        sentence = f": {candidate.sentence}" if candidate.sentence else ""
        print_indented(console, f"lineage: {candidate.lineage}{sentence}")
    if (verdict := candidate.verdict) is None:
        return
    gap = "none" if verdict.gap_cents is None else f"{verdict.gap_cents:.0f} cents below"
    against = f"{round(verdict.vs_standard):+d} ±{verdict.spread_cents:.0f} cents against the standard grip"
    figures = f"{against}, loss {verdict.loss_ratio:.2f} times its, next lower note {gap}"
    print_indented(console, f"model, an estimate of one flute: {figures}")
    if candidate.kind == "standard":
        for line in standing_wave(found.pitch, instrument, candidate.grip, console.width - 2):
            console.print(f"  {line}", markup=False)
