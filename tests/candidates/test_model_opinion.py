"""What the route hears of the model: leans, a word for the response, free fingers, ways between grips."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, number, solver_of

from gripway.candidates.model_opinion import crossings_of, modelled_lean, nearer, response_of
from gripway.catalog.flute.grips import GripRow, Lean
from gripway.model.grip import Grip
from gripway.model.survey import Survey, Verdict

KNOWLEDGE = solver_of().knowledge
PLAIN = Verdict(cents=1.0, vs_standard=-12.345, spread_cents=6.789, gap_cents=None, loss_ratio=1.0)


def row(**changes: object) -> GripRow:
    """The standard row of D6, changed."""
    standard = solver_of().book.standard_row(number("D6"))
    assert standard is not None
    return replace(standard, **changes)


def survey_saying(verdict: Verdict) -> Survey:
    """A survey that knows one grip: the standard one of D6."""
    return Survey({(row().pitch, row().grip): verdict}, {})


def test_without_a_survey_the_table_speaks() -> None:
    """The modelled figure that stands in a row counts where no model was asked."""
    lean = Lean(-30.0, 17.0, "standard", "modelled")
    assert modelled_lean(None)(row(modelled=lean)) == lean
    assert modelled_lean(None)(row(modelled=None)) is None


def test_the_survey_gives_the_lean_against_the_standard() -> None:
    """To a tenth of a cent, marked as modelled; what the table once had from a model is passed over."""
    lean = modelled_lean(survey_saying(PLAIN))
    old = Lean(-30.0, 17.0, "standard", "modelled")
    assert lean(row(modelled=old)) == Lean(-12.3, 6.8, "standard", "modelled")


def test_a_grip_the_survey_does_not_know_has_no_modelled_lean() -> None:
    """Silence is not nought."""
    assert modelled_lean(survey_saying(PLAIN))(row(grip=Grip.parse("T L2 L3 |"))) is None


@pytest.mark.parametrize(
    ("loss", "word"),
    [
        (0.5, ""),
        (FIGURES.loss_resistant_ratio - 0.01, ""),
        (FIGURES.loss_resistant_ratio, "resistant"),
        (FIGURES.loss_weak_ratio - 0.01, "resistant"),
        (FIGURES.loss_weak_ratio, "weak"),
        (9.0, "weak"),
    ],
)
def test_loss_is_told_as_a_word(loss: float, word: str) -> None:
    """From the two figures of the tables on; a standard grip is never called anything by the model."""
    verdict = replace(PLAIN, loss_ratio=loss)
    assert response_of(verdict, "alternate", FIGURES) == word
    assert response_of(verdict, "standard", FIGURES) == ""


def test_without_a_verdict_no_response_is_told() -> None:
    """Nothing is said of a grip the model does not know."""
    assert response_of(None, "harmonic", FIGURES) == ""


def test_the_words_are_responses_of_the_tables() -> None:
    """Both words have an effort in effort/response.csv, and weak costs more than resistant."""
    response = KNOWLEDGE.tables.response
    assert response["weak"] > response["resistant"] > 0.0


def kept(grip: str, variants: list[str], *neighbours: str) -> list[str]:
    """The variants that only do what a neighbour does."""
    found = nearer(Grip.parse(grip), map(Grip.parse, variants), map(Grip.parse, neighbours))
    return [grip.text for grip in found]


def test_a_finger_stays_down_when_the_neighbour_holds_it() -> None:
    """C5 towards D5 keeps R2 R3, or one of them; L4, which D5 has up, is no help."""
    variants = ["L1 | R2 R3 Eb", "L1 | R2 Eb", "L1 L4 | Eb"]
    assert kept("L1 | Eb", variants, "T L2 L3 | R1 R2 R3") == ["L1 | R2 R3 Eb", "L1 | R2 Eb"]


def test_a_finger_stays_up_when_the_neighbour_has_it_up() -> None:
    """F5 beside D5 may leave Eb, which D5 leaves up; beside E5, which presses it, it may not."""
    assert kept("T L1 L2 L3 | R1 Eb", ["T L1 L2 L3 | R1"], "T L2 L3 | R1 R2 R3") == ["T L1 L2 L3 | R1"]
    assert kept("T L1 L2 L3 | R1 Eb", ["T L1 L2 L3 | R1"], "T L1 L2 L3 | R1 R2 Eb") == []


def test_one_neighbour_must_explain_the_whole_variant() -> None:
    """Half of it from the note before and half from the note after moves fingers towards both."""
    before, after = "L1 | R2 Eb", "L1 | R3 Eb"
    assert kept("L1 | Eb", ["L1 | R2 R3 Eb", "L1 | R3 Eb"], before, after) == ["L1 | R3 Eb"]


def test_a_note_alone_has_no_reason_to_keep_a_finger() -> None:
    """Without neighbours no variant is near."""
    assert kept("L1 | Eb", ["L1 | R2 R3 Eb"]) == []


def test_ways_are_counted_only_with_a_model() -> None:
    """Without a survey there is nothing to count with; with one, C5-D5 passes grips of neither note."""
    assert crossings_of(KNOWLEDGE.instrument, None) is None
    assert KNOWLEDGE.survey is not None
    crossings = crossings_of(KNOWLEDGE.instrument, KNOWLEDGE.survey)
    assert crossings is not None
    a, b = (("", "L1", "", "", "", "", "", "", "Eb"), ("T", "", "L2", "L3", "", "R1", "R2", "R3", ""))
    assert 0.0 < crossings.share(a, b, number("C5"), number("D5")) <= 1.0
