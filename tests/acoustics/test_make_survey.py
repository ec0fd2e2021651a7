"""A survey: verdicts, free grips, lineages and sounds of one flute, each as its own module has it."""

import json
from functools import cache

import pytest
from tests.acoustics.measured_flute import (
    FLUTE,
    KNOWN,
    atlas_of,
    number,
    standard_grips,
    standard_patterns,
)

from gripway.acoustics.atlas import reachable_patterns
from gripway.acoustics.free_touches import free_variants
from gripway.acoustics.make_survey import survey
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.regulation import regulation_cents
from gripway.model.grip import Grip
from gripway.model.survey import Key, Survey

STANDARD = standard_grips()
E6, F_SHARP_6, C5, D7 = (number(name) for name in ("E6", "F#6", "C5", "D7"))
WITHOUT_EB = (E6, Grip.parse("T L1 L2 | R1 R2"))
WITH_R2 = (F_SHARP_6, Grip.parse("T L1 L3 | R2 Eb"))
OVERBLOWN = (F_SHARP_6, Grip.parse("T L1 | Eb"))
GRIPS: tuple[Key, ...] = (
    WITHOUT_EB, WITH_R2, OVERBLOWN, (E6, STANDARD[E6]), (C5, STANDARD[C5]), (D7, STANDARD[D7]), WITH_R2
)  # fmt: skip


@cache
def surveyed() -> Survey:
    """The survey of a few grips of the concert flute."""
    found = survey(FLUTE, GRIPS, STANDARD)
    assert found is not None
    return found


@pytest.mark.parametrize("instrument", ["piccolo", "alto-flute", "bass-flute"])
def test_a_flute_whose_bore_is_not_known_has_no_survey(instrument: str) -> None:
    """No tube, no word: the model says nothing rather than what holds for another flute."""
    assert survey(load_instrument(instrument), GRIPS, STANDARD) is None


def test_every_grip_up_to_c_sharp_7_has_its_verdict_once() -> None:
    """Those asked for and no others; D7 lies above what the model claims."""
    assert set(surveyed().verdicts) == {key for key in GRIPS if key[0] != D7}


def test_verdicts_are_against_the_standard_grip_with_regulation() -> None:
    """E6 without Eb about 15 cents lower, F#6 with R2 about 8 (means); spread at least by regulation."""
    # differences: tests/acoustics/figures.py
    verdicts = surveyed().verdicts
    assert verdicts[WITHOUT_EB].vs_standard == pytest.approx(-15, abs=2.0)
    assert verdicts[WITH_R2].vs_standard == pytest.approx(-7.7, abs=2.0)
    for key in (WITHOUT_EB, WITH_R2):
        assert verdicts[key].spread_cents > regulation_cents()[2]


def test_a_note_without_a_standard_grip_is_left_out() -> None:
    """There is nothing to measure from: no verdict, no free grip, no lineage."""
    found = survey(FLUTE, GRIPS, {number: grip for number, grip in STANDARD.items() if number != E6})
    assert found is not None
    for said in (found.verdicts, found.free, found.lineages):
        assert F_SHARP_6 in {note for note, _ in said} or said is found.free
        assert E6 not in {note for note, _ in said}


def test_free_grips_are_those_of_the_nominal_flute() -> None:
    """As the search for free fingers gives them; a grip with none has no entry; none above C#7."""
    found = surveyed().free
    expected = {key: tuple(v.grip for v in free_variants(FLUTE, atlas_of(), key[1], key[0])) for key in GRIPS}
    assert found == {key: grips for key, grips in expected.items() if grips}
    # teachers keep R2 R3 down over C5 (common practice, no source)
    assert Grip.parse("L1 | R2 R3 Eb") in found[C5, STANDARD[C5]]
    assert (D7, STANDARD[D7]) not in found


def test_lineages_are_a_text_and_a_sentence() -> None:
    """F#6 on the B grip is its third partial; the standard E6 the fourth of E4, vented by L3."""
    # partials of E6 and F#6: tests/acoustics/figures.py
    assert surveyed().lineages[OVERBLOWN] == ("B4 x3", "third partial of the B4 grip")
    text, sentence = surveyed().lineages[E6, STANDARD[E6]]
    assert text == "E4 x4, vent L3; also A4 x3"
    assert sentence.startswith("fourth partial of the E4 grip; lifting L3 opens")


def test_sounds_cover_every_pattern_of_the_flute() -> None:
    """The notes of every hole pattern a hand can make, as counted from all standard grips."""
    found = surveyed().sounds
    assert found == KNOWN
    assert set(found.near) == set(map(int, reachable_patterns(FLUTE)))
    for note, pattern in standard_patterns().items():
        assert note > number("C#7") or found.near[pattern] >> note & 1


def test_a_survey_is_kept_as_json_without_loss() -> None:
    """What the model said comes back from JSON to the last digit, in plain Python numbers."""
    assert Survey.of_data(json.loads(json.dumps(surveyed().data(), allow_nan=False))) == surveyed()
