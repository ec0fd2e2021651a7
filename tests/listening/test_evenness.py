"""A passage played to a click: late changes, the tempo and the agreement are found in made sound."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.listening.played_notes import played

import gripway
from gripway.catalog.tables.times_figures import times_figures
from gripway.effort.load import LATE
from gripway.errors import RecordingError
from gripway.listening.times.evenness import Evenness, _changes, clicked, evenness
from gripway.listening.times.evenness_data import agreement_words, evenness_sentence
from gripway.listening.times.heard_times import HeardTimes
from gripway.listening.times.rank_correlation import rank_correlation
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.sound.recording import Recording

FIGURES = times_figures()
LINE = "E5 F#5 G#5 A5 B5 C#6 D#6 E6 F#6 G#6 A6 G#6 F#6 E6 D#6 C#6 B5 A5 G#5 F#5 E5"


@cache
def route() -> Route:
    """The grips of the line."""
    return gripway.finger(gripway.notes(LINE, tempo=120), gripway.flute())


def recorded(
    late_ms: dict[int, float], tempo_share: float = 1.0, sounds: int = 0, count: int | None = None
) -> Recording:
    """The line, or its first notes, with some changes late; what is late stays so for that note only."""
    notes: list[tuple[float, int | None, float]] = [(0.0, None, 0.0)]
    for place, note in enumerate(route().passage.notes[:count]):
        at = 0.6 + (note.onset_ms / tempo_share + late_ms.get(place, 0.0)) / 1000.0
        notes.append((at, note.pitch.number + sounds, 0.0))
    return played([*notes, (at + 0.2, None, 0.0), (at + 0.6, None, 0.0)], noise=0.03, seed=2)


def test_late_changes_are_found_and_no_others() -> None:
    """Two notes 40 and 30 ms late: both are marked, with their size within 8 ms."""
    heard = evenness(recorded({7: 40.0, 14: 30.0}), route(), 0, FIGURES)
    assert [each.to for each in heard.late] == [7, 14]
    assert [each.late_ms for each in heard.late] == pytest.approx([40.0, 30.0], abs=8.0)
    assert heard.missed == ()
    assert evenness_sentence(heard, route()).startswith("Practise the changes that come late: D#6 to E6")


def test_an_even_passage_is_even() -> None:
    """Nothing late, onsets within a few milliseconds of the click."""
    heard = evenness(recorded({}), route(), 0, FIGURES)
    assert heard.late == ()
    assert heard.spread_ms < 6.0
    assert evenness_sentence(heard, route()) == "It is even: no change comes late."


def test_the_tempo_of_the_click_is_found() -> None:
    """Played 4% quicker than named: told, and nothing is late for it; 20% is refused."""
    heard = evenness(recorded({}, 1.04), route(), 0, FIGURES)
    assert heard.tempo_share == pytest.approx(1.04, abs=0.004)
    assert heard.late == ()
    with pytest.raises(RecordingError, match=r"quicker than asked|in their order"):
        evenness(recorded({}, 1.25), route(), 0, FIGURES)


def test_a_flute_that_sounds_elsewhere_is_heard_where_it_sounds() -> None:
    """A piccolo's part sounds an octave higher."""
    heard = evenness(recorded({7: 40.0}, sounds=12), route(), 12, FIGURES)
    assert [each.to for each in heard.late] == [7]


def test_sizes_are_bounded() -> None:
    """Too many notes, or a recording of minutes, is refused before any work is done."""
    long = gripway.finger(gripway.notes("E5 F5 " * 301, tempo=120), gripway.flute())
    with pytest.raises(RecordingError, match="602 notes"):
        evenness(recorded({}), long, 0, FIGURES)
    with pytest.raises(RecordingError, match="121 s"):
        evenness(Recording(np.zeros(8000 * 121), 8000, source="a.wav"), route(), 0, FIGURES)


@given(st.floats(-2.0, 2.0), st.floats(0.92, 1.08), st.integers(0, 10_000))
def test_the_click_is_found_beside_late_notes(offset_s: float, stretch: float, seed: int) -> None:
    """With a tenth of the notes late and one missed, offset within 6 ms and tempo within 0.2%."""
    chance = np.random.default_rng(seed)
    written = np.cumsum(chance.choice([0.125, 0.25], 80))
    found = offset_s + stretch * written + chance.normal(0.0, 0.003, 80)
    found[chance.choice(80, 8, replace=False)] += 0.05
    found[11] = np.nan
    at, rate = clicked(written, found)
    assert abs(at - offset_s) < 0.006
    assert abs(rate - stretch) < 0.002


@given(st.lists(st.tuples(st.integers(-5, 5), st.integers(-5, 5)), min_size=4, max_size=40))
def test_the_rank_correlation_is_that_of_scipy(pairs: list[tuple[int, int]]) -> None:
    """Ties included; None where a list never changes, for which scipy has nan."""
    one, other = [float(a) for a, _ in pairs], [float(b) for _, b in pairs]
    found = rank_correlation(one, other)
    if found is None:
        assert len(set(one)) < 2 or len(set(other)) < 2
        return
    from scipy import stats  # takes a second to load

    assert found.correlation == pytest.approx(stats.spearmanr(one, other).statistic)
    assert found.low <= found.correlation <= found.high


def test_the_interval_holds_the_true_correlation() -> None:
    """Of 400 samples of 25 of a normal pair with Spearman's 0.5, 92 to 98 in 100 intervals hold it."""
    chance = np.random.default_rng(8)
    pearson = 2.0 * np.sin(np.pi / 6.0 * 0.5)  # Kruskal 1958: of a bivariate normal
    inside = []
    for _ in range(400):
        one = chance.standard_normal(25)
        other = pearson * one + np.sqrt(1.0 - pearson**2) * chance.standard_normal(25)
        found = rank_correlation(one.tolist(), other.tolist())
        assert found is not None
        inside.append(found.low <= 0.5 <= found.high)
    assert 0.92 <= np.mean(inside) <= 0.98


def test_what_an_agreement_allows_to_say() -> None:
    """Something where the interval lies above 0, nothing sure where it holds 0, and none of few changes."""
    steady = rank_correlation(list(range(20)), [*range(19, 0, -1), 30])
    assert "elsewhere" in agreement_words(steady) or "nothing sure" in agreement_words(steady)
    assert "tell something" in agreement_words(rank_correlation(list(range(20)), list(range(20))))
    assert agreement_words(None).startswith("Too few")
    short = Passage(route().passage.notes[:5])
    few = gripway.finger(short, gripway.flute())
    assert evenness(recorded({}), few, 0, FIGURES).agreement is None


def first(count: int) -> Evenness:
    """The first notes of the line, played evenly, with every third one late."""
    some = gripway.finger(Passage(route().passage.notes[:count]), gripway.flute())
    return evenness(recorded(dict.fromkeys(range(2, count, 3), 25.0), count=count), some, 0, FIGURES)


def test_three_notes_are_enough_and_two_are_not() -> None:
    """Two have one change, through which any click goes."""
    assert len(first(3).changes) == 2
    with pytest.raises(RecordingError, match="2 notes are asked for, where 3 to"):
        first(2)


def test_an_agreement_is_told_from_just_enough_changes_on() -> None:
    """At `agreement_least_changes` of the table, and not with one less."""
    least = FIGURES.agreement_least_changes
    enough, few = first(least + 1), first(least)
    assert (len(enough.changes), len(few.changes)) == (least, least - 1)
    assert enough.agreement is not None
    assert few.agreement is None


@pytest.mark.parametrize(("pairs_less", "takes_less", "counts"), [(0, 0, True), (1, 0, False), (0, 1, False)])
def test_just_enough_pairs_and_takes_count(pairs_less: int, takes_less: int, counts: bool) -> None:
    """At `least_pairs` and `least_takes` of the table the route goes by own times, below either not."""
    heard = HeardTimes(
        date="2026-11-29",
        trills=(None,) * (FIGURES.least_takes - takes_less),  # type: ignore[arg-type]  # only counted
        scales=(),
        refused=(),
        pairs=(None,) * (FIGURES.least_pairs - pairs_less),  # type: ignore[arg-type]  # only counted
        fit=None,
        tables_base_ms=100.0,
        tables_weights={},
        limits=(),
        line=None,
        asked=(),
        figures=FIGURES,
    )
    assert heard.counts is counts


def test_a_change_is_late_from_its_bound_on_and_expected_above_its_load() -> None:
    """At the least lateness it is told, just below it is not; just in time none is expected."""
    line = replace(route(), changes=tuple(replace(each, load=LATE) for each in route().changes))
    for late_ms, is_late in ((250.0, True), (249.0, False)):
        figures = replace(FIGURES, late_least_ms=250.0, late_share=0.0)
        found = np.array([0.0, 1.0 + late_ms / 1000.0])
        (change,) = _changes(line, np.array([0.0, 1.0]), found, figures)
        assert (change.is_late, change.is_expected) == (is_late, False)
