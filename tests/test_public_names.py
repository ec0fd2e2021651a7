"""The public names: each works as its documentation says, and costs nothing until it is used."""

import inspect
import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from tests.tiers import thinned

import gripway
from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.errors import ImpossibleHoldError, NotationError, PlayerFileError, RequestError, ScoreError
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.model.passage import Passage
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Ban, Player
from gripway.model.survey import Survey
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.flute_knowledge import survey_of
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.routes import LONGEST_FOR_THRESHOLD

DATA = Path(__file__).parent / "data"
PICCOLO = DATA / "boulanger_matin_piccolo.musicxml"
PASSAGE = gripway.notes("E6 F#6 G#6 A6 | G#6 F#6 E6:1/4", tempo=160)


def test_the_example_of_the_package_works() -> None:
    """The lines of the package's own documentation run, and give a frame of four notes."""
    lines = [line.strip() for line in (gripway.__doc__ or "").splitlines() if line.startswith("    ")]
    code = "\n".join(lines).replace("print(", "shown = (")
    names: dict[str, object] = {}
    exec(code, names)  # noqa: S102 - our own documentation
    assert len(names["shown"]) == 4  # type: ignore[arg-type]


def test_every_public_name_is_there_and_documented() -> None:
    """Every name of `__all__`, sorted, with a documentation of its own."""
    assert sorted(gripway.__all__) == sorted(set(gripway.__all__))
    for name in gripway.__all__:
        assert inspect.getdoc(getattr(gripway, name))


def test_no_other_name_is_invented() -> None:
    """A slip of the pen is an AttributeError with the name."""
    with pytest.raises(AttributeError, match="fingers"):
        gripway.fingers  # noqa: B018 - the access is the test


def test_importing_the_package_loads_nothing_else() -> None:
    """`import gripway` brings none of its own modules and no library."""
    script = (
        "import sys; before = set(sys.modules); import gripway; print(*sorted(set(sys.modules) - before))"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    loaded = {name for name in ran.stdout.split() if name.partition(".")[0] not in sys.stdlib_module_names}
    assert loaded == {"gripway"}


def test_a_flute_by_name_with_its_parts() -> None:
    """The concert flute without a name; parts bring what belongs to them."""
    assert gripway.flute().id == "concert-flute"
    assert gripway.flute("piccolo").sounds_semitones == 12  # sounds an octave higher (common practice)
    assert gripway.flute(parts=["high-c"]).parts == ("b-foot", "high-c")
    with pytest.raises(RequestError, match="oboe"):
        gripway.flute("oboe")


def test_notes_are_read_from_a_line() -> None:
    """Pitches, lengths in ms (a sixteenth at 120 lasts 125), and the word that means nothing."""
    passage = gripway.notes("E6 r F#6:1/8", tempo=120)
    assert [(n.pitch.name, n.onset_ms, n.length_ms) for n in passage.notes] == [
        ("E6", 0.0, 125.0),
        ("F#6", 250.0, 250.0),
    ]
    assert gripway.notes("E6", tempo=120, unit="1/4").notes[0].length_ms == 500.0
    with pytest.raises(NotationError, match="word 1"):
        gripway.notes("foo")


def test_a_score_is_read_with_its_tempo_words() -> None:
    """By path as text or Path; options choose bars; a missing file is a ScoreError."""
    reading = gripway.read(str(PICCOLO))
    assert reading.part.sounds_semitones == 12
    assert len(gripway.read(PICCOLO, ReadOptions(bars="22-24")).passage.notes) < len(reading.passage.notes)
    with pytest.raises(ScoreError, match="no such file"):
        gripway.read("nowhere.musicxml")


def test_a_passage_is_fingered() -> None:
    """Every note has a grip, and no route of standard grips takes less effort."""
    best = gripway.finger(PASSAGE, gripway.flute())
    standard = gripway.finger(PASSAGE, gripway.flute(), Wishes(choose=STANDARD_ONLY))
    assert best.status == "optimal"
    assert best.effort <= standard.effort


def test_bans_of_the_player_and_of_the_wishes_are_joined() -> None:
    """What either forbids is not used."""
    plain = gripway.finger(PASSAGE, gripway.flute())
    used = [(n.note.pitch.number, n.candidate.grip) for n in plain.notes if n.candidate]
    first, second = (Ban(pitch, grip) for pitch, grip in used[1:3])
    player = replace(PLAIN_PLAYER, bans=(first,))
    route = gripway.finger(PASSAGE, gripway.flute(), Wishes(player=player, bans=(second,)))
    again = {(n.note.pitch.number, n.candidate.grip) for n in route.notes if n.candidate}
    assert not again & {used[1], used[2]}


def test_an_empty_passage_is_refused() -> None:
    """Nothing to finger is a bad request, not an empty answer."""
    with pytest.raises(RequestError, match="no note to finger"):
        gripway.finger(Passage(()), gripway.flute())


def test_progress_is_told() -> None:
    """The listener hears how far the work is."""
    heard: list[tuple[int, int]] = []
    gripway.finger(PASSAGE, gripway.flute(), progress=lambda done, total: heard.append((done, total)))
    assert heard
    assert all(0 < done <= total for done, total in heard)


def test_the_frames_have_a_row_for_each_note_change_and_grip() -> None:
    """Frames of notes, changes and grips, under the names of the JSON."""
    route = gripway.finger(PASSAGE, gripway.flute())
    found = gripway.grips(Pitch.parse("F#6"), gripway.flute())
    notes, changes, grips = (
        gripway.note_frame(route),
        gripway.change_frame(route),
        gripway.grip_frame(found),
    )
    assert list(notes["pitch"]) == [note.pitch.name for note in PASSAGE.notes]
    assert list(changes["to"]) == [1, 2, 3, 4, 5, 6]
    assert list(grips["grip"]) == [fact.grip.text for fact in found.grips]
    assert notes["effort"].sum() + changes["effort"].sum() == pytest.approx(route.effort)


def test_grips_are_standard_first_and_a_pitch_outside_has_a_reason() -> None:
    """F#6 begins with its standard grip; F7 has none and says why."""
    found = gripway.grips(Pitch.parse("F#6"), gripway.flute())
    assert (found.grips[0].row.kind, found.problem) == ("standard", "")
    outside = gripway.grips(Pitch.parse("F7"), gripway.flute())
    assert outside.grips == ()
    assert "its tables cover" in outside.problem


def test_a_diagram_is_drawn_from_text_or_grip() -> None:
    """The same picture from both; a hold no hand can take is refused."""
    drawn = gripway.diagram("T 1 3 | 2 Eb", gripway.flute(), trill="T 1 3 | 3 Eb", title="F#6")
    assert drawn == gripway.diagram(
        Grip.parse("T 1 3 | 2 Eb"), gripway.flute(), trill=Grip.parse("T 1 3 | 3 Eb"), title="F#6"
    )
    assert "The trill moves right second and third finger." in drawn
    with pytest.raises(ImpossibleHoldError, match="cannot press T, Tb"):
        gripway.diagram("T Tb |", gripway.flute())


def test_a_report_is_a_document() -> None:
    """Of a score or of a line of notes, with its music and its tables."""
    passage = gripway.notes("E6 F#6 G#6 A6", tempo=120)
    text = gripway.report(None, gripway.finger(passage, gripway.flute()), gripway.flute())
    assert text.startswith("<!DOCTYPE html>")
    assert text.count('class="system"') == 1


def test_marks_are_inserted() -> None:
    """The score's own bytes, longer by the marks."""
    reading = gripway.read(PICCOLO)
    route = gripway.finger(reading.passage, gripway.flute("piccolo"))
    marked = gripway.mark(reading, route, HouseStyle(which="every", style="lyric"))
    assert marked.count(b'name="grip"') == len({note.note.id for note in route.notes})
    assert gripway.mark(reading, route).startswith(PICCOLO.read_bytes()[:200])


def test_an_edition_is_made_in_a_house_style_and_agrees(tmp_path: Path) -> None:
    """The way from Python: style, edition, marked file, report."""
    house = gripway.house_style(Path(__file__).parents[1] / "examples" / "house_style.toml")
    reading = gripway.read(PICCOLO)
    edition = gripway.edit(reading.passage, gripway.flute("piccolo"), house=house)
    assert edition.even.uneven == ()
    assert {each.note.note.id for each in edition.marked} < {note.id for note in reading.passage.notes}
    out = tmp_path / "marked.musicxml"
    out.write_bytes(gripway.mark(reading, edition.even.route, house))
    assert gripway.consistency([out]) == ()
    with pytest.raises(RequestError, match="no note to finger"):
        gripway.edit(Passage(()), gripway.flute())


def test_worth_is_told_for_the_passage_and_its_hard_spots() -> None:
    """Three spots at most; of a long passage the spots only."""
    route = gripway.finger(PASSAGE, gripway.flute())
    worth = gripway.worth_it(route, gripway.flute(), Wishes(), spots=2)
    assert worth.passage is not None
    assert [spot.to for spot in worth.spots] == list(route.hardest[:2])
    long = gripway.notes("E6 F#6 " * (LONGEST_FOR_THRESHOLD // 2 + 1), tempo=160)
    route = gripway.finger(long, gripway.flute())
    assert gripway.worth_it(route, gripway.flute(), Wishes(), spots=1).passage is None


def test_a_player_is_read_from_a_file(tmp_path: Path) -> None:
    """By path as text; a missing file is a PlayerFileError."""
    path = tmp_path / "me.toml"
    path.write_text("[dials]\ntuning = 2\n")
    assert gripway.player(str(path)) == Player(dials=(("tuning", 2.0),))
    with pytest.raises(PlayerFileError):
        gripway.player(tmp_path / "none.toml")


WARM = """
import sys
import gripway
{asked}
print(*sorted({{name.partition(".")[0] for name in sys.modules}} & {{"numpy", "scipy", "pandas"}}))
"""
COMMAND = """
from gripway.cli.app import main
sys.argv = ["gripway", *{words!r}, "--out", {out!r}]
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
"""


def heavy(asked: str, home: Path) -> str:
    """The heavy libraries a process loads to do something, with this cache folder."""
    ran = subprocess.run(
        [sys.executable, "-c", WARM.format(asked=asked)],
        env=os.environ | {"XDG_CACHE_HOME": str(home)},
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.strip()


UNSHIPPED = "import gripway.catalog.shipped_surveys as module; module.INDEX = 'none.json'; "


def test_a_first_answer_needs_no_model(tmp_path: Path) -> None:
    """The survey is shipped: no numpy, and nothing to keep."""
    assert heavy("gripway.finger(gripway.notes('E6 F#6'), gripway.flute())", tmp_path) == ""
    assert not (tmp_path / "gripway").exists()


def test_the_survey_is_kept_between_runs(tmp_path: Path) -> None:
    """Where none is shipped, the first run asks the model and keeps its word in a file later runs leave."""
    asked = f"{UNSHIPPED}gripway.finger(gripway.notes('E6 F#6'), gripway.flute())"
    assert heavy(asked, tmp_path) == "numpy"
    (file,) = (tmp_path / "gripway").iterdir()
    before = (file.read_bytes(), file.stat().st_mtime_ns)
    assert Survey.of_data(json.loads(before[0])) == survey_of(gripway.flute())
    assert heavy(asked, tmp_path) == ""
    assert [*(tmp_path / "gripway").iterdir()] == [file]
    assert (file.read_bytes(), file.stat().st_mtime_ns) == before


@pytest.mark.parametrize(
    "words",
    [
        ["finger", "--notes", "E6 F#6 G#6", "--format", "json"],
        ["finger", "--notes", "E6 F#6 G#6"],
        ["grips", "F#6"],
        ["grips", "F#6", "--format", "json"],
    ],
    ids=" ".join,
)
def test_a_warm_command_loads_no_numpy(words: list[str], tmp_path: Path) -> None:
    """With the survey kept, an answer needs neither the model nor a heavy library."""
    survey_of.cache_clear()
    assert survey_of(gripway.flute()) is not None  # now it is kept
    home = Path(os.environ["XDG_CACHE_HOME"])
    assert heavy(COMMAND.format(words=words, out=str(tmp_path / "answer")), home) == ""
    assert (tmp_path / "answer").stat().st_size > 0


EMPTY_SURVEY = '{"version": 1, "verdicts": [], "free": [], "lineages": [], "sounds": {}}'


@pytest.mark.parametrize(
    "content", thinned([EMPTY_SURVEY, "{}", '{"version": 0}', '{"version": 1, "verdicts": [[1]]}'], 4)
)
def test_a_kept_survey_of_another_kind_is_not_believed(
    content: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """JSON that is no survey of ours is passed over, and the model asked again."""
    usual = survey_of(gripway.flute())
    asked = []
    model = "gripway.tasks.flute_knowledge.survey_data"
    monkeypatch.setattr(model, lambda *_: (asked.append(1), usual.data())[1])
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr("gripway.catalog.shipped_surveys.INDEX", "none.json")
    survey_of.cache_clear()
    survey_of(gripway.flute())
    (file,) = (tmp_path / "gripway").iterdir()
    file.write_text(content)
    survey_of.cache_clear()
    assert survey_of(gripway.flute()) == usual
    assert len(asked) == 2
    survey_of.cache_clear()


def test_a_flute_without_a_bore_keeps_nothing(tmp_path: Path) -> None:
    """Of the piccolo no tube is known: no survey, no file, no numpy."""
    asked = "gripway.finger(gripway.notes('E6 F#6'), gripway.flute('piccolo'))"
    assert heavy(asked, tmp_path) == ""
    assert not (tmp_path / "gripway").exists()


def test_flutes_with_other_parts_have_surveys_of_their_own() -> None:
    """A split E changes what the standard E6 is: its next resonance lies farther away."""
    plain, split = (survey_of(gripway.flute(parts=parts)) for parts in ((), ("split-e",)))
    e6 = Pitch.parse("E6").number, Grip.parse("T L1 L2 | R1 R2 Eb")
    assert plain is not None
    assert split is not None
    # 187 and 411 cents: tests/acoustics/figures.py
    assert plain.verdicts[e6].gap_cents == pytest.approx(187, abs=8)
    assert split.verdicts[e6].gap_cents == pytest.approx(411, abs=8)


def test_every_error_of_ours_is_a_gripway_error() -> None:
    """One class to catch; it says what, where and what next."""
    with pytest.raises(gripway.GripwayError) as refusal:
        gripway.flute("oboe")
    assert refusal.value.what
    assert refusal.value.next_step


@pytest.mark.parametrize(
    ("sounds", "chosen"),
    [
        # How far each flute sounds from its written notes (common practice): piccolo an octave up,
        # alto in G a fourth down, bass an octave down.
        (0, "concert-flute"),
        (12, "piccolo"),
        (-5, "alto-flute"),
        (-12, "bass-flute"),
    ],
)
def test_the_instrument_follows_the_transposition(sounds: int, chosen: str) -> None:
    """Concluded from the part, and said unless it is the usual one."""
    instrument, remark = choose_instrument(None, (), PLAIN_PLAYER, sounds)
    assert instrument.id == chosen
    assert (remark is None) == (sounds == 0)


def test_an_instrument_asked_for_beats_player_and_score() -> None:
    """Option, then the player's file, then the part."""
    player = Player(instrument="alto-flute")
    assert choose_instrument("piccolo", (), player, -12)[0].id == "piccolo"
    assert choose_instrument(None, (), player, -12)[0].id == "alto-flute"


def test_a_transposition_no_flute_has_is_said() -> None:
    """Read as the concert flute, with a remark."""
    instrument, remark = choose_instrument(None, (), PLAIN_PLAYER, 3)
    assert instrument.id == "concert-flute"
    assert remark is not None
    assert "no flute of the tables sounds 3 semitones higher than written" in remark.text


def test_parts_of_the_players_flute_are_not_asked_of_a_piccolo() -> None:
    """A B foot belongs to the concert flute; a piccolo part can still be fingered."""
    assert choose_instrument(None, (), Player(parts=("b-foot",)), 12)[0].id == "piccolo"
