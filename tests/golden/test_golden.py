"""Golden answers: every grip of every flute, and the routes of thirty invented passages.

They show in review what a changed table or cost does. `pytest --rewrite-golden` writes them anew.
"""

from collections.abc import Iterator
from difflib import unified_diff
from fractions import Fraction
from pathlib import Path

import pytest
from tests.oracles.flutes import solver_of

from gripway.candidates.grip_list import GripFact, grip_list
from gripway.catalog.flute.instruments import load_instrument
from gripway.effort.candidate import Tendency
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.pitch import Pitch, plain_name
from gripway.page.diagram.diagram import diagram
from gripway.route.result import Route
from gripway.score.notation import read_notation

FOLDER = Path(__file__).parent
FLUTES = {
    "concert-flute": ("concert-flute",),
    "concert-flute-b-foot": ("concert-flute", "b-foot"),
    "concert-flute-split-e": ("concert-flute", "split-e"),
    "concert-flute-open-g-sharp": ("concert-flute", "open-g-sharp"),
    "concert-flute-high-c": ("concert-flute", "high-c"),
    "concert-flute-c-sharp-trill": ("concert-flute", "c-sharp-trill"),
    "piccolo": ("piccolo",),
    "alto-flute": ("alto-flute",),
    "bass-flute": ("bass-flute",),
}


def compare(name: str, lines: list[str], rewrite: bool) -> None:
    """Compare lines with a golden file, or write it; a difference fails with the lines that differ."""
    path = FOLDER / f"{name}.txt"
    if rewrite:
        path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8", newline="\n")
        return
    kept = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    changed = list(unified_diff(kept, lines, "kept", "now", lineterm="", n=0))
    if changed:
        pytest.fail(
            "\n".join([f"{name}.txt changed (rewrite with --rewrite-golden):", *changed]), pytrace=False
        )


def grip_lines(flute: tuple[str, ...]) -> Iterator[str]:
    """One line a grip: pitch, grip, kind, where it leans, what it needs; one line a pitch without any."""
    solver = solver_of(*flute)
    instrument = solver.knowledge.instrument
    for pitch in range(instrument.lowest, instrument.highest + 1):
        found = grip_list(Pitch.from_number(pitch), solver.book)
        playable = [fact for fact in found.grips if fact.candidate]
        yield from (f"{plain_name(pitch):4} {_fact(fact)}" for fact in playable)
        if not playable:
            yield f"{plain_name(pitch):4} none: {found.problem}"


def _fact(fact: GripFact) -> str:
    words = [f"{fact.grip.text:34}", fact.row.kind, _lean(fact.candidate.tendency), *fact.flags]
    return "  ".join(words).rstrip()


def _lean(lean: Tendency) -> str:
    if lean.cents is None:
        return "-"
    against = "" if lean.vs_standard is None else f" ({round(lean.vs_standard):+d})"
    return f"{round(lean.cents):+d}±{lean.spread_cents:.0f}{against} {lean.source}"


def read_passages() -> dict[str, Passage]:
    """The passages of passages.txt by name."""
    found = {}
    for line in (FOLDER / "passages.txt").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            name, tempo, unit, fifths, notes = (cell.strip() for cell in line.split("|", 4))
            found[name] = read_notation(notes, Fraction(unit), float(tempo), int(fifths))
    return found


PASSAGES = read_passages()


def route_lines(name: str, route: Route) -> Iterator[str]:
    """One line a note: its grip, kind and effort, and the load of the change into it; then the total."""
    loads = {change.to: f"{change.load:.2f}" for change in route.changes}
    for note in route.notes:
        c = note.candidate
        grip, kind = (c.grip.text, c.kind) if c else ("-", "-")
        load = loads.get(note.index, "-")
        place = f"{name} {note.index + 1:2} {note.note.pitch.name:4}"
        yield f"{place} {grip:34} {kind:10} held {note.holding.effort:.3f}  load {load}"
    yield f"{name} effort {route.effort:.3f} {route.status}"


@pytest.mark.parametrize("name", FLUTES)
def test_grips_of_every_pitch(name: str, rewrite_golden: bool) -> None:
    """Every pitch of the flute has the grips, kinds and leans that were kept."""
    compare(f"grips-{name}", list(grip_lines(FLUTES[name])), rewrite_golden)


def test_routes_of_the_passages(rewrite_golden: bool) -> None:
    """Each invented passage has the route and the effort that were kept."""
    solver = solver_of()
    lines = [line for name, p in PASSAGES.items() for line in route_lines(name, solver.solve(p))]
    compare("routes", lines, rewrite_golden)


DIAGRAMS = {
    "D6 under a note": ("T 2 3 | Eb", {}),
    "D6 lying": ("T 2 3 | Eb", {"form": "lying", "size_mm": 20}),
    "F#6 after F6, large": ("T 1 3 | 2 Eb", {"before": Grip.parse("T 1 3 | 1 Eb"), "size_mm": 80}),
    "B3 with held fingers": ("T 1 2 3 | 1 2 3 C B", {"held": ["R2", "R3"], "free": ["L4"]}),
    "C6 trill": ("1 | Eb", {"movers": ["Kd"], "title": "C6"}),
}


def test_diagrams(rewrite_golden: bool) -> None:
    """A handful of grip diagrams have the SVG that was kept."""
    flute = load_instrument("concert-flute", ["b-foot"])
    drawn = {name: diagram(flute, Grip.parse(grip), **said) for name, (grip, said) in DIAGRAMS.items()}
    lines = [
        line for name, svg in drawn.items() for line in (f"# {name}", *svg.replace("><", ">\n<").split("\n"))
    ]
    compare("diagrams", lines, rewrite_golden)


def test_there_are_thirty_passages() -> None:
    """Thirty passages, each name once, all in the range of the flute."""
    assert len(PASSAGES) == 30
    flute = solver_of().knowledge.instrument
    numbers = [note.pitch.number for passage in PASSAGES.values() for note in passage.notes]
    assert flute.lowest <= min(numbers) <= max(numbers) <= flute.highest


def test_a_difference_is_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A changed line fails with the line as kept and as it is now; rewriting settles it."""
    monkeypatch.setitem(globals(), "FOLDER", tmp_path)
    compare("small", ["D6 T 2 3", "E6 T 1 2"], rewrite=True)
    compare("small", ["D6 T 2 3", "E6 T 1 2"], rewrite=False)
    with pytest.raises(pytest.fail.Exception, match="-E6 T 1 2\n\\+E6 T 1 2 3"):
        compare("small", ["D6 T 2 3", "E6 T 1 2 3"], rewrite=False)
