"""Sound: the worked values of Directive 2003/10/EC, article 3, with a 3-dB exchange."""

import pytest
from tests.oracles.practice import TABLES

from gripway.practice.plan.cautions import cautions
from gripway.practice.plan.exposure import minutes_until, over_the_day, sound_of


def test_the_values_of_article_3() -> None:
    """80 and 85 dB(A) are action values, 87 the limit, over eight hours (article 3(1); from memory)."""
    figures = TABLES.exposure
    assert (figures.lower_action_db_a, figures.upper_action_db_a, figures.limit_db_a, figures.day_min) == (
        80,
        85,
        87,
        480,
    )


@pytest.mark.parametrize(
    ("level", "minutes"),
    [(85, 480), (88, 240), (91, 120), (92, 95.2), (94, 60), (100, 15), (103, 7.5), (106, 3.75)],
)
def test_three_decibels_halve_the_time(level: float, minutes: float) -> None:
    """T = 8 h x 2^((85 - L) / 3); 88, 91, 94, 100 as in NIOSH's table of 1998 for 85 dB (from memory)."""
    assert minutes_until(level, 85, TABLES.exposure) == pytest.approx(minutes, abs=0.05)


def test_a_day_at_its_own_level_adds_up_to_it() -> None:
    """Eight hours at 85 dB are 85 dB over the day, 95.2 minutes at 92 dB as well."""
    assert over_the_day(85, 480, TABLES.exposure) == 85
    assert over_the_day(92, 95.24, TABLES.exposure) == pytest.approx(85, abs=0.01)


def test_flute_and_piccolo_by_the_chart() -> None:
    """92 to 103 dB and 90 to 106 dB (Chasin's chart); nothing is claimed of other flutes."""
    flute, piccolo = sound_of("concert-flute", 20, TABLES), sound_of("piccolo", 20, TABLES)
    assert [level.level for level in flute] == [92, 103]
    assert [level.level for level in piccolo] == [90, 106]
    assert piccolo[-1].upper == pytest.approx(3.75)
    assert flute[0].share == pytest.approx(20 / 95.24, abs=0.001)
    assert sound_of("bass-flute", 20, TABLES) == ()


@pytest.mark.parametrize("instrument", ["concert-flute", "piccolo", "alto-flute"])
def test_cautions_name_pain_rest_hearing_and_who_comes_first(instrument: str) -> None:
    """Every plan has them; the piccolo has one more."""
    text = " ".join(cautions(instrument, 20, sound_of(instrument, 20, TABLES), TABLES))
    for word in (
        "pain",
        "numbness",
        "clinician",
        "teacher",
        "local rules",
        "no medical advice",
        "Rest 30",
        "85 dB(A)",
    ):
        assert word in text
    assert ("Piccolo" in text) == (instrument == "piccolo")
    assert ("Tune in long notes when you warm up" in text) == (instrument == "piccolo")
