"""The model beside what teachers say: how much agrees, what does not, and that both are told.

The words are those of the curated tables, each with its source there; no expected value is the model's.
"""

import pytest
from tests.acoustics.agreement import (
    AGREES,
    CONTRADICTS,
    HARMONICS,
    NO_EFFECT,
    SHARED,
    SILENT,
    TEACHERS,
    counts,
    directed,
    group_of,
    judged,
    pitch,
    remarks,
    response,
    response_word,
    size_correlation,
)
from tests.acoustics.report import conflict_lines, named_lines, show_agreement

from gripway.model.grip import Grip
from gripway.model.pitch import plain_name
from gripway.model.survey import Verdict

pytestmark = pytest.mark.whole


@pytest.mark.parametrize(
    ("said", "spread", "found", "how"),
    [
        (-12.0, 6.0, -8.0, AGREES),
        (-12.0, 6.0, 8.0, CONTRADICTS),
        (12.0, 6.0, -3.0, CONTRADICTS),
        (-12.0, 6.0, -2.9, NO_EFFECT),
        (-12.0, 6.0, None, SILENT),
        (0.0, 8.0, 8.0, AGREES),
        (0.0, 8.0, -8.1, CONTRADICTS),
    ],
)
def test_a_word_is_compared_by_its_direction(
    said: float, spread: float, found: float | None, how: str
) -> None:
    """Below 3 cents nothing happens; a word for the same pitch allows its own spread."""
    assert judged(said, spread, found) == how


@pytest.mark.parametrize(
    ("gap", "loss", "word"),
    [
        (700.0, 1.0, "easier"),
        (260.0, 0.8, "easier"),
        (200.0, 1.0, "harder"),
        (260.0, 1.3, "harder"),
        (700.0, 1.3, ""),
        (270.0, 1.05, ""),
        (1210.0, 1.2, "undertone"),
    ],
)
def test_response_is_read_from_loss_and_gap(gap: float, loss: float, word: str) -> None:
    """Wider gap or less loss is easier, the contrary harder, both at once says nothing."""
    standard = Verdict(0.0, 0.0, 0.0, 260.0, 1.0)
    assert response_word(Verdict(0.0, 0.0, 0.0, gap, loss), standard) == word


def test_whose_word_a_row_is() -> None:
    """A teacher first is a teacher; the model beside common practice or charts is no second voice."""
    assert group_of("alternate", ("hummel-2015-01-18", "own-model")) == TEACHERS
    assert group_of("alternate", ("common-practice",)) == TEACHERS
    assert group_of("trill", ("common-practice", "own-model")) == SHARED
    assert group_of("trill", ("recalled-charts", "own-model", "herszbaum-cello-concerto")) == SHARED
    assert group_of("harmonic", ("composers-handbook",)) == HARMONICS


def test_remarks_are_words_and_never_the_model_s_numbers() -> None:
    """Leans of trills marked as modelled stay out, those that are words come in, each grip once."""
    keys = [(one.number, one.grip) for one in remarks()]
    assert len(keys) == len(set(keys))
    assert (69, Grip.parse("T L1 L2 | R1 Eb")) in keys  # taught with the A4 to A#4 trill
    assert (68, Grip.parse("T L1 L2 L3 L4 | R1 Eb")) not in keys  # its -25 is the model's
    assert all(set(one.sources) != {"own-model"} for one in remarks())


def test_teachers_words_are_found_far_more_often_than_contradicted() -> None:
    """At least 20 agree, at most 1 in 20 contradicts, and at most 13 show no effect; no octave fails."""
    found = counts(pitch(), TEACHERS)
    assert found[AGREES] >= 20
    assert found[CONTRADICTS] * 20 <= found[AGREES]
    assert found[NO_EFFECT] <= 13
    for octave in (1, 2, 3):
        part = counts(pitch(), TEACHERS, octave)
        assert part[AGREES] > part[NO_EFFECT] + part[CONTRADICTS]


def test_rows_that_never_name_the_model_agree_too() -> None:
    """Of the words without the model among their sources at least 12 agree and more than do not."""
    found = counts([one for one in pitch() if not one.model_named], TEACHERS)
    assert found[AGREES] >= 12
    assert found[AGREES] > 2 * (found[NO_EFFECT] + found[CONTRADICTS])


def test_the_count_would_show_a_wrong_model() -> None:
    """With the model's signs turned round the same words contradict."""
    turned = [judged(said, 0.0, -found) for said, found in directed()]
    assert turned.count(CONTRADICTS) >= 20
    assert turned.count(AGREES) <= 1


def test_larger_words_go_with_larger_differences() -> None:
    """Sizes of words and of the model rank alike, which an answer of always lower could not do."""
    assert size_correlation() > 0.4


def test_harmonics_are_as_flat_as_said_where_a_direction_is_said() -> None:
    """At least 12 words of direction agree, and none of any kind is contradicted."""
    found = [one for one in pitch() if one.group == HARMONICS]
    assert [one.how for one in found if one.said_cents].count(AGREES) >= 12
    assert [one for one in found if one.how == CONTRADICTS] == []


def test_words_for_response_agree_more_often_than_not() -> None:
    """More independent words agree than contradict: two weak trill grips, two easy B-flats."""
    found = counts(response(), TEACHERS)
    assert found[AGREES] > found[CONTRADICTS]
    against = {(plain_name(one.number), one.word) for one in response() if one.how == CONTRADICTS}
    assert against <= {("D5", "weak"), ("D#5", "weak"), ("A#5", "easy"), ("A#6", "easy")}


def test_the_report_names_each_contradiction_and_each_word_without_effect(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Every one of them stands in the last part of the printed report, and nothing else does."""
    show_agreement()
    last = capsys.readouterr().out.strip().split("\n\n")[-1].splitlines()[1:]
    compared = (*pitch(), *response())
    due = [
        one for one in compared if one.how == CONTRADICTS or (one.how == NO_EFFECT and one.group == TEACHERS)
    ]
    assert last == [f"{one.line} ({one.group})" for one in due]
    assert last == list(named_lines())[1:]


@pytest.mark.parametrize("name", ["C6 ", "C#6", "E6 ", "F#6"])
def test_players_hear_these_sharp_and_are_told_so(name: str) -> None:
    """The model has the note too low; the player is told a taught lean above true."""
    # common practice, no source: C6, C#6, E6 and F#6 are sharp in real playing
    (line,) = (text for text in conflict_lines() if text.startswith(f"  {name}") and " sharp; " in text)
    assert "CONFLICT" in line
    assert "told +" in line
    assert "(taught" in line


def test_b6_is_a_conflict_although_no_table_has_a_word_for_it() -> None:
    """B6 sharp in playing is not reproduced, and that is printed."""
    # common practice, no source
    (line,) = (text for text in conflict_lines() if text.startswith("  B6"))
    assert "CONFLICT" in line


@pytest.mark.parametrize("name", ["C5", "C6"])
def test_c_with_r2_and_r3_is_told_as_our_reading_with_the_dispute(name: str) -> None:
    """Taught lower, unmoved in the model: the note's own +8 is told, called a judgement, and the dispute."""
    (line,) = (text for text in conflict_lines() if text.startswith(f"  {name}") and "R2 R3" in text)
    assert "CONFLICT" in line
    assert "told +8 (judgement, disputed)" in line
