"""`--found` and `--wish`: grips only the model knows, marked as such, and what cannot be given is said."""

import pytest
from tests.cli.run_gripway import ask
from tests.oracles.flutes import solver_of

import gripway
from gripway.asked.found_wishes import FoundWishes
from gripway.asked.wishes import Wishes
from gripway.candidates.with_found_grips import beside_of
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.tasks.flute_player import FlutePlayer

BOOK = solver_of().book
F_SHARP_6 = Pitch.parse("F#6").number


def kinds(answer: object) -> set[str]:
    """The kinds of grip in a JSON answer of `gripway grips`."""
    return {each["kind"] for each in answer.json["grips"]}  # type: ignore[attr-defined]


def test_found_grips_follow_the_table_and_say_that_a_model_made_them() -> None:
    """Every printed grip stays where it was; found ones come after, unconfirmed, with a spread."""
    plain = ask("grips", "F#6", "--format", "json").json["grips"]
    both = ask("grips", "F#6", "--found", "--format", "json").json["grips"]
    found = [each for each in both if each["kind"] == "found"]
    assert [each for each in both if each["kind"] != "found"] == plain
    assert 1 <= len(found) <= 20
    for each in found:
        assert (each["how"], each["confidence"]) == ("modelled", "low")
        assert {"unconfirmed", "known from a model only"} <= set(each["flags"])
        assert each["model"]["cents_spread"] > 0
        assert each["grip"] not in {other["grip"] for other in plain}


def test_found_grips_keep_to_the_wishes() -> None:
    """`keep` holds its touches down, `without` keeps them up, `within` bounds the lean."""
    wishes = ["--wish", "keep R2", "--wish", "without Kd Kds", "--wish", "within 10 cents"]
    answer = ask("grips", "F#6", "--found", *wishes, "--format", "json")
    found = [each for each in answer.json["grips"] if each["kind"] == "found"]
    assert found
    for each in found:
        assert "R2" in each["touches"]
        assert not {"Kd", "Kds"} & set(each["touches"])
        assert abs(each["model"]["cents_vs_standard"]) <= 10


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["C4"], "nothing the model knows"),
        (["F#6", "--wish", "keep L1 L2 L3 R1 R2 R3 Kd Kds", "--wish", "within 5 cents"], "no found grips"),
        (["D7"], "no found grips"),
        (["E6", "--instrument", "piccolo"], "no found grips"),
    ],
    ids=["none", "wishes", "too high", "no bore"],
)
def test_where_none_is_found_the_table_still_answers(words: list[str], said: str) -> None:
    """The printed grips come as ever, exit 0, and a remark says why there are no more."""
    answer = ask("grips", *words, "--found", "--format", "json")
    assert answer.code == 0
    assert kinds(answer)
    assert "found" not in kinds(answer)
    assert answer.err.startswith("remark: ")
    assert said in answer.err
    assert answer.err.strip() == f"remark: {answer.json['remark']}"


def test_a_pitch_no_flute_has_is_not_looked_for() -> None:
    """F7 lies outside the tables: the answer says so, and nothing beside it blames the search."""
    answer = ask("grips", "F7", "--found", "--format", "json")
    assert answer.code == 1
    assert answer.json["problem"].startswith("outside")
    assert "remark" not in answer.json
    assert answer.err == ""


def test_a_passage_may_use_found_grips_only_when_asked() -> None:
    """Without `--found` no note has one; with it every note still has its grip."""
    words = ("finger", "--notes", "F#6 G#6 F#6 E6", "--tempo", "160", "--format", "json")
    plain, found = ask(*words), ask(*words, "--found")
    assert plain.code == found.code == 0
    assert "found" not in {note["kind"] for note in plain.json["notes"]}
    assert all(note["grip"] for note in found.json["notes"])
    assert found.json["effort"] <= plain.json["effort"]


def test_found_grips_of_a_passage_are_near_to_the_notes_beside_them() -> None:
    """A pitch gets other found grips among low notes than among high ones: the hands come from there."""
    flute = gripway.flute()
    shortlists = []
    for line in ("D4 F#6 D4", "C#7 F#6 C#7"):
        passage = gripway.notes(line, tempo=160)
        wishes = Wishes(found=FoundWishes())
        rows = FlutePlayer(flute).solver(wishes, beside_of(passage)).knowledge.found[F_SHARP_6]
        shortlists.append([row.grip for row in rows])
    standards = [BOOK.standard_row(Pitch.parse(name).number).grip for name in ("D4", "C#7")]  # type: ignore[union-attr]
    for own, other, beside in zip(shortlists, reversed(shortlists), standards, strict=True):
        assert touches_apart(own, beside) < touches_apart(other, beside)


def touches_apart(grips: list[Grip], beside: Grip) -> float:
    """Touches that differ from a neighbour's, on average."""
    return sum((grip.mask ^ beside.mask).bit_count() for grip in grips) / len(grips)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["C7 D7 D#7", "--found"], "no found grips above C#7"),
        (["E6 F#6", "--wish", "keep T Tb"], "no found grips: "),
        (["E6 F#6", "--found", "--instrument", "piccolo"], "no found grips: there is no acoustic model"),
    ],
    ids=["too high", "no hand", "no bore"],
)
def test_a_passage_says_what_could_not_be_found(words: list[str], said: str) -> None:
    """Exit 0 with the grips of the tables, and a remark, also in the JSON."""
    line, *options = words
    answer = ask("finger", "--notes", line, "--tempo", "100", *options, "--format", "json")
    assert answer.code == 0
    assert said in answer.err
    assert any(said in remark["text"] for remark in answer.json["remarks"])


def test_a_harmonic_nobody_speaks_of_has_no_cents() -> None:
    """Common practice, no source: a seventh partial is far from the tempered note, so none is guessed."""
    grips = ask("grips", "C7", "--format", "json").json["grips"]
    (seventh,) = [each for each in grips if each["grip"] == "T L1 L2 L3 | R1 R2 R3"]
    assert (seventh["kind"], seventh["cents"]) == ("harmonic", None)
    assert "never propose" in seventh["flags"]
