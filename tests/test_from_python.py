"""From Python and in a notebook: names, types, short and rich displays, every way in."""

import doctest
import inspect
import io
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import is_dataclass
from importlib import import_module
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from mypy import api
from tests.cli.run_gripway import ask
from tests.every import every
from tests.tiers import whole

import gripway
from gripway import notebook
from gripway.asked.wishes import Pin
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.tasks.routes import MOST_SPOTS

ROOT = Path(__file__).resolve().parents[1]
LADDER = ROOT / "examples" / "ladder_cell.musicxml"
FLUTE = gripway.flute()
PASSAGE = gripway.notes("(E6 F#6 G#6 A6) (B6 A6 G#6 F#6)", tempo=150)
ROUTE = gripway.finger(PASSAGE, FLUTE)
FUNCTIONS = [name for name in gripway.__all__ if inspect.isfunction(getattr(gripway, name))]
TAKEN = (
    "Ban", "Distance", "FlutePlayer", "FoundWishes", "Key", "Limits", "PatternQuestion", "Pin", "Player",
    "PracticeTime", "ReadOptions", "Wishes",
)  # fmt: skip
"""Types that are made by whoever asks."""


def test_tab_and_dir_show_the_public_names() -> None:
    """`dir` has every name of `__all__` and the version, before any was used."""
    script = "import gripway; print(*dir(gripway))"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert {*gripway.__all__, "__version__"} <= set(ran.stdout.split())


def test_help_shows_the_public_names() -> None:
    """`help(gripway)` lists the functions with their signatures."""
    script = "import gripway; help(gripway)"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "finger(passage:" in ran.stdout
    assert "class FlutePlayer" in ran.stdout


def test_the_version_is_that_of_the_project() -> None:
    """`gripway.__version__` is what pyproject.toml says."""
    assert f'version = "{gripway.__version__}"' in (ROOT / "pyproject.toml").read_text(encoding="utf-8")


def test_a_misspelt_name_is_told_with_the_one_meant() -> None:
    """At run time a slip of the pen is an AttributeError with a suggestion."""
    with pytest.raises(AttributeError, match="did you mean finger"):
        gripway.fingr  # type: ignore[attr-defined]  # noqa: B018 - the access is the test


@whole
def test_a_misspelt_name_is_an_error_of_types(tmp_path: Path) -> None:
    """Mypy refuses a name and an argument that are not there, and knows the types of the answers."""
    file = tmp_path / "asked.py"
    file.write_text(
        "import gripway\n"
        "gripway.fingr\n"
        "gripway.notes('E6', temp=3)\n"
        "reveal_type(gripway.finger(gripway.notes('E6'), gripway.flute()))\n"
    )
    cache = f"--cache-dir={tmp_path / 'cache'}"
    said, _, _ = api.run([cache, f"--config-file={os.devnull}", "--follow-imports=silent", str(file)])
    assert 'asked.py:2: error: Module has no attribute "fingr"' in said
    assert "asked.py:3: error: Unexpected keyword" in said
    assert "gripway.route.result.Route" in said


MODULES = sorted({getattr(gripway, name).__module__ for name in gripway.__all__})
"""Modules in which public names are defined."""


@every([*FUNCTIONS, *TAKEN])
def test_every_public_function_shows_an_example(name: str) -> None:
    """Functions, and types a person makes, have an example in their own docstring."""
    assert ">>> " in (inspect.getdoc(getattr(gripway, name)) or "")


@pytest.mark.parametrize("module", MODULES)
def test_the_examples_of_the_docstrings_are_true(module: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every example in a module that defines public names prints what stands below it."""
    monkeypatch.chdir(ROOT)
    assert doctest.testmod(import_module(module)).failed == 0


NOT_OURS = {"DataFrame", "DiGraph", "None", "HtmlText", "SvgText"}
"""What comes from pandas and networkx, and our texts that are texts."""


@every(FUNCTIONS)
def test_every_type_a_public_function_gives_is_public(name: str) -> None:
    """What comes back can be named in the code of whoever asked."""
    given = inspect.signature(getattr(gripway, name)).return_annotation
    text = given if isinstance(given, str) else getattr(given, "__qualname__", "") + str(given)
    kinds = set(re.findall(r"\b[A-Z]\w+", text))
    assert kinds <= {*gripway.__all__, *NOT_OURS}


def answers() -> list[object]:
    """One of each value that a notebook may end a cell with."""
    plan = gripway.practise(PASSAGE, FLUTE)
    question = gripway.PatternQuestion(84, 96, (gripway.Key("A"),))
    return [
        FLUTE, PASSAGE, ROUTE, gripway.FlutePlayer(FLUTE), gripway.worth_it(ROUTE, FLUTE), plan,
        gripway.grips("F#6", FLUTE), gripway.trill("F6", "G6", FLUTE), gripway.near(FLUTE, "E6"),
        gripway.bridge(FLUTE, "A6", "B6"), gripway.hardest(FLUTE), gripway.tradeoff(PASSAGE, FLUTE)[1],
        gripway.alternatives(PASSAGE, FLUTE)[1], gripway.hard_patterns(FLUTE, question),
        gripway.edit(PASSAGE, FLUTE), gripway.read(LADDER), gripway.report(None, ROUTE, FLUTE),
        gripway.plan_sheet(plan, FLUTE),
    ]  # fmt: skip


@pytest.fixture(scope="module")
def shown() -> list[object]:
    """The values, made once."""
    return answers()


def test_every_answer_has_a_short_repr(shown: list[object]) -> None:
    """No answer, and none of the values in it, fills more than two lines of a screen."""
    parts = [ROUTE.notes[0], ROUTE.changes[0], PASSAGE.notes[0], FLUTE.mechanism, gripway.Wishes(),
             gripway.player(ROOT / "examples" / "player.toml"), Grip.parse("T | Eb")]  # fmt: skip
    for value in (*shown, *parts):
        assert len(repr(value)) <= 160, repr(value)
    assert repr(ROUTE) == f"<Route: concert-flute, 8 notes, optimal, effort {ROUTE.effort:.3f}>"


def test_every_answer_is_drawn_in_a_notebook(shown: list[object]) -> None:
    """IPython's `_repr_html_` gives well-formed markup with a table, a picture or a frame."""
    for value in shown:
        html = value._repr_html_()  # type: ignore[attr-defined]
        if "<iframe" in html:
            assert "srcdoc=" in html
            continue
        tree = ET.fromstring(html)
        assert tree.tag == "div"
        assert "<table>" in html or "<svg" in html, type(value)
    assert "<svg" in gripway.grips("F#6", FLUTE)._repr_html_()
    assert gripway.diagram("F#6", FLUTE)._repr_svg_().startswith("<svg")


def test_what_a_score_says_is_escaped_in_a_notebook() -> None:
    """A title with markup in it stays text."""
    data = LADDER.read_bytes().replace(b"<work-title>", b"<work-title>&lt;script&gt;x")
    html = gripway.read(data)._repr_html_()
    assert html is not None
    assert "<script>" not in html
    assert "&lt;script&gt;x" in html


def test_a_value_without_a_drawing_is_left_to_its_text() -> None:
    """None tells a notebook to show the repr."""
    assert notebook.drawn(PASSAGE.notes[0]) is None


def test_a_score_is_read_from_path_bytes_and_open_file() -> None:
    """The same passage every way; part, bars, voice and tempo by their names."""
    plain = gripway.read(LADDER).passage
    data = LADDER.read_bytes()
    for source in (str(LADDER), data, io.BytesIO(data), io.StringIO(data.decode())):
        assert gripway.read(source).passage.notes == plain.notes
    with LADDER.open("rb") as file:
        assert gripway.read(file).source.name == LADDER.name
    chosen = gripway.read(data, part=1, bars=1, tempo=60, voice=1).passage
    assert {note.bar for note in chosen.notes} == {"1"}
    options = gripway.ReadOptions(bars="1", tempo=60)
    assert gripway.read(data, options).passage.notes == chosen.notes
    assert gripway.read(data, options, tempo=120).passage.notes[1].onset_ms * 2 == chosen.notes[1].onset_ms


def test_what_is_no_score_is_refused_with_the_way_to_one() -> None:
    """An object of another library is told to be written as MusicXML first."""
    with pytest.raises(RequestError, match="list is no score"):
        gripway.read([])  # type: ignore[arg-type]


def test_notes_are_read_from_a_list() -> None:
    """Texts, pitches, note numbers and pairs with a length spell what the line spells."""
    listed = gripway.notes(["E6", 90, (Pitch.parse("G#6"), "1/8"), "(A6", "B6)"], tempo=120)
    assert listed == gripway.notes("E6 F#6 G#6:1/8 (A6 B6)", tempo=120)


def test_music21_objects_are_read_by_way_of_musicxml() -> None:
    """The recipe of the manual: what music21 writes is read, note for note."""
    from music21 import note, stream
    from music21.musicxml.m21ToXml import GeneralObjectExporter

    part = stream.Part([note.Note(name, type="16th") for name in ("E6", "F#6", "G#6", "A6")])
    reading = gripway.read(GeneralObjectExporter(part).parse())
    assert [each.pitch.name for each in reading.passage.notes] == ["E6", "F#6", "G#6", "A6"]


def test_wishes_are_read_from_texts() -> None:
    """Pins count from 1 as in the command's text, and go by ids too; bans, limits and player the same."""
    wishes = gripway.wishes(
        pins=["3=T 1 | Eb", "n2=T 1 3 | 2 Eb"],
        bans="harmonic",
        limits=["at most 3 unusual grips", "no note over 15 cents"],
        player=ROOT / "examples" / "player.toml",
    )
    assert wishes.pins == (Pin(2, Grip.parse("T L1 | Eb")), Pin("n2", Grip.parse("T L1 L3 | R2 Eb")))
    assert wishes.limits == gripway.Limits(unusual=3, worst_cents=15.0)
    assert wishes.player.parts
    with pytest.raises(RequestError, match="pins nothing"):
        gripway.wishes(pins="T 1 | Eb")
    with pytest.raises(RequestError, match=r"gripway\.wishes"):
        gripway.Wishes(pins=["3=T 1 | Eb"])  # type: ignore[arg-type]


@pytest.mark.parametrize("wishes", [gripway.Wishes(), gripway.Wishes(learn=0)])
def test_the_ledger_adds_up_to_the_effort(wishes: gripway.Wishes) -> None:
    """Every part of the effort has its row, with its place; their sum is what the route says."""
    route = gripway.finger(gripway.read(LADDER).passage, FLUTE, wishes)
    frame = gripway.ledger_frame(route)
    assert frame["effort"].sum() == pytest.approx(route.effort, abs=1e-9)
    assert set(frame["of"]) >= {"holding", "moving"}
    assert (frame["of"] == "charge").any() == bool(route.charges and route.charges.learning_milli)
    placed = frame[frame["of"] != "charge"]
    assert set(placed["bar"]) == {note.note.bar for note in route.notes}


def test_changes_carry_bar_and_onset() -> None:
    """Each change has the bar and the onset in ms of the note it leads to."""
    route = gripway.finger(gripway.read(LADDER).passage, FLUTE)
    frame = gripway.change_frame(route)
    first = route.notes[int(frame["to"].iloc[0])].note
    assert (frame["bar"].iloc[0], frame["onset_ms"].iloc[0]) == (first.bar, round(first.onset_ms, 1))


def test_the_players_own_parts_are_used() -> None:
    """As in the command, their flute has them, and another flute has not."""
    player = Player(parts=("b-foot", "split-e"))
    assert gripway.FlutePlayer(FLUTE, player).instrument.parts == ("b-foot", "split-e")
    assert gripway.FlutePlayer(gripway.flute("piccolo"), player).instrument.parts == ()
    plain = gripway.finger(gripway.notes("B3"), FLUTE)
    assert plain.status == "gaps"  # B3 needs the B foot (common practice)
    assert gripway.finger(gripway.notes("B3"), FLUTE, gripway.Wishes(player=player)).status == "optimal"


def test_a_diagram_takes_what_the_command_takes() -> None:
    """Grips, pitches and a flute with its player; `before` is the grip of a pitch, too."""
    by_pitch = gripway.diagram("F#6", gripway.FlutePlayer(FLUTE), before="E6")
    standard = [next(iter(gripway.grips(name, FLUTE).grips)).grip for name in ("F#6", "E6")]
    assert by_pitch == gripway.diagram(standard[0], FLUTE, before=standard[1], title="F#6")


def test_worth_it_looks_where_the_command_looks() -> None:
    """Without a number of spots none, as the plain answer has it."""
    worth = gripway.worth_it(ROUTE, FLUTE)
    assert worth is not None
    assert worth.spots == ()
    assert MOST_SPOTS == 3  # what --explain asks for: the manual on finger says so


OWN_FLUTE = """title = "flute of my own"
also = []
lowest = "C4"
highest = "E7"
sounds_semitones = 0
mechanism = "concert-flute"
without_touches = []
without_holes = []
grips = "concert-flute"
tendencies = true
source = "own-judgement"
how = "judgement"
note = ""
"""


@pytest.fixture
def ours_again() -> Iterator[None]:
    """After a test only our own tables count."""
    yield
    gripway.use_tables(None)
    os.environ.pop("GRIPWAY_TABLES", None)


@pytest.mark.usefixtures("ours_again")
def test_a_flute_of_ones_own_comes_from_a_folder(tmp_path: Path) -> None:
    """Its tables count over ours, for functions at once and for the command by the environment."""
    folder = tmp_path / "instruments" / "my-flute"
    folder.mkdir(parents=True)
    (folder / "instrument.toml").write_text(OWN_FLUTE, encoding="utf-8")
    assert gripway.use_tables(tmp_path) == ("instruments/my-flute/instrument.toml",)
    mine = gripway.flute("my-flute")
    assert mine.title == "flute of my own"
    assert gripway.finger(PASSAGE, mine).status == "optimal"
    command = [sys.executable, "-m", "gripway", "grips", "D6", "--instrument", "my-flute"]
    env = {**os.environ, "GRIPWAY_TABLES": str(tmp_path)}
    assert "D6" in subprocess.run(command, env=env, capture_output=True, text=True, check=True).stdout
    assert "my-flute" in ask("grips", "--help").out
    gripway.use_tables(None)
    assert "my-flute" not in ask("grips", "--help").out
    with pytest.raises(RequestError, match="my-flute"):
        gripway.flute("my-flute")


@pytest.mark.usefixtures("ours_again")
def test_a_changed_figure_of_ones_own_changes_the_answer(tmp_path: Path) -> None:
    """A table of figures in the user's folder is the one that counts."""
    table = ROOT / "tables" / "effort" / "figures.csv"
    (tmp_path / "effort").mkdir()
    lines = table.read_text(encoding="utf-8").splitlines()
    (place,) = (k for k, line in enumerate(lines) if line.startswith("line_travel_ms,"))
    cells = lines[place].split(",")
    cells[1] = str(2 * float(cells[1]))
    lines[place] = ",".join(cells)
    (tmp_path / "effort" / "figures.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    gripway.use_tables(tmp_path)
    assert gripway.finger(PASSAGE, FLUTE).effort > ROUTE.effort


def test_a_folder_without_tables_is_refused(tmp_path: Path) -> None:
    """An empty folder, and none at all, are told with the form ours have."""
    with pytest.raises(RequestError, match="no table in this folder"):
        gripway.use_tables(tmp_path)
    with pytest.raises(RequestError, match="no such folder"):
        gripway.use_tables(tmp_path / "nowhere")


def test_a_plain_player_needs_no_words() -> None:
    """Defaults are left out of the short texts."""
    assert repr(PLAIN_PLAYER) == "<Player>"
    assert is_dataclass(PLAIN_PLAYER)


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        (lambda: gripway.finger("E6 F#6", FLUTE), "a str is no passage"),  # type: ignore[arg-type]
        (lambda: gripway.mark(gripway.read(LADDER), ROUTE, "out.xml"), "a str is no house style"),  # type: ignore[arg-type]
        (lambda: gripway.grip_frame(ROUTE), "note_frame, change_frame, ledger_frame or curve_frame"),  # type: ignore[arg-type]
        (lambda: gripway.steps_frame(gripway.grips("F#6", FLUTE)), "frame of it is grip_frame"),  # type: ignore[arg-type]
        (lambda: gripway.note_frame(gripway.near(FLUTE, "E6")), "frame of it is steps_frame"),  # type: ignore[arg-type]
        (lambda: gripway.reached_frame(ROUTE), "frame of it is note_frame"),  # type: ignore[arg-type]
        (lambda: gripway.curve_frame(ROUTE), "curve of this route was not asked for"),
        (lambda: gripway.change_frame(PASSAGE), "Give what finger"),  # type: ignore[arg-type]
        (lambda: gripway.notes("E6", tempo="fast"), "'fast' is not a number"),  # type: ignore[arg-type]
        (lambda: gripway.grips(900, FLUTE), "900 is no note number"),
        (lambda: gripway.PatternQuestion("C6", "C7"), "note numbers"),  # type: ignore[arg-type]
        (lambda: gripway.PatternQuestion(84, 96, ("A",)), "a key is no text"),  # type: ignore[arg-type]
        (lambda: gripway.diagram("Q 1", FLUTE), "'Q' is not a touch"),
    ],
)
def test_a_slip_in_a_notebook_is_told_with_the_next_step(slip: Callable[[], object], told: str) -> None:
    """What a reader of the docstrings tries first and wrongly says what to write."""
    with pytest.raises(gripway.GripwayError, match=told) as refusal:
        slip()
    assert refusal.value.next_step


def test_what_a_reader_tries_first_works() -> None:
    """One path, a note number, the sentence of a route, a score as it was read, no flute at all."""
    reading = gripway.read(LADDER)
    assert gripway.finger(reading, FLUTE) == gripway.finger(reading.passage, FLUTE)
    assert gripway.edit(reading, FLUTE) == gripway.edit(reading.passage, FLUTE)
    assert gripway.practise(reading, FLUTE) == gripway.practise(reading.passage, FLUTE)
    assert gripway.tradeoff(reading, FLUTE) == gripway.tradeoff(reading.passage, FLUTE)
    assert gripway.alternatives(reading, FLUTE) == gripway.alternatives(reading.passage, FLUTE)
    assert gripway.finger(PASSAGE) == ROUTE
    piccolo = gripway.Wishes(player=Player(instrument="piccolo"))
    assert gripway.finger(PASSAGE, wishes=piccolo).instrument == "piccolo"
    assert gripway.consistency(str(LADDER)) == gripway.consistency([LADDER])
    assert gripway.grips(90, FLUTE) == gripway.grips("F#6", FLUTE)
    assert gripway.sentence(ROUTE).startswith("Stay with the standard grips")


def test_a_score_without_marks_says_so() -> None:
    """Marks of standard grips are none: the bytes are the score's own, and their repr counts."""
    reading = gripway.read(LADDER)
    route = gripway.finger(reading, FLUTE)
    marked = gripway.mark(reading, route)
    assert marked == LADDER.read_bytes()
    assert "0 marks" in repr(marked)
    every = gripway.mark(reading, route, gripway.HouseStyle(which="every"))
    assert f"{every.count(b'<fingering')} marks" in repr(every)
