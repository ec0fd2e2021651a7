"""Where words begin: each at its bound and just beside it."""

from collections import Counter
from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, TABLES, candidate, solver_of
from tests.oracles.passages import played, with_ornament

from gripway.effort.load import LATE
from gripway.effort.setting import Setting, links, settings
from gripway.route import changes
from gripway.route.changes import RouteChanges
from gripway.route.other_grips import other_grips
from gripway.route.played_ornaments import ornament_flags
from gripway.route.result import NO_ADVICE
from gripway.route.words.flags import flags_of
from gripway.route.words.place_words import MOST_IN_WORDS, MOST_PLACES, places_in_words, places_text
from gripway.route.words.reasons import LEAST_SHOWN_MILLI, MOST_SHOWN, why_other_than_standard
from gripway.route.words.sentence import LONGEST_HEADING, sentence

SOLVER = solver_of()


def plain_setting() -> Setting:
    """The setting of a note at no dynamic that moves its pitch."""
    notes = played("E6 F6", 60.0).notes
    return replace(settings(notes, links(notes, FIGURES), TABLES)[0], drift_cents=0.0)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_lean_is_told_and_helped_above_its_bounds(way: float) -> None:
    """As far off as the same pitch is: no word. As far as lips go: lip it; just beyond: needs help."""
    e6 = candidate("E6")
    told = []
    for cents in (
        FIGURES.lean_same_cents,
        FIGURES.lean_same_cents + 0.1,
        FIGURES.lean_lip_cents,
        FIGURES.lean_lip_cents + 0.1,
    ):
        leaning = replace(e6, tendency=replace(e6.tendency, cents=way * cents))
        flags = [flag for flag in flags_of(leaning, plain_setting(), FIGURES) if flag.kind == "lean"]
        told.append([flag.words.rpartition(": ")[2] for flag in flags])
    assert told == [[], ["lip it"], ["lip it"], ["needs help"]]


@pytest.mark.parametrize(("milli", "told"), [(LEAST_SHOWN_MILLI, True), (LEAST_SHOWN_MILLI - 1, False)])
def test_the_rest_of_a_reason_is_told_from_what_can_be_seen_on(milli: int, told: bool) -> None:
    """Terms have two decimals: a rest that would be told as +0.00 is left out."""
    terms = Counter({f"term {k}": 1000 + k for k in range(MOST_SHOWN)}) + Counter({"small": milli})
    words = why_other_than_standard(candidate("F#6", "T 1 3 | 2 Eb"), candidate("F#6"), 3.0, terms)
    assert ("the rest" in words) is told


def test_as_many_places_as_there_is_room_for_are_all_told() -> None:
    """No dots and no `more` where nothing is left out; with one place more there are."""
    for most in (MOST_PLACES, 3):
        bars = [(str(2 * k), k) for k in range(1, most + 2)]
        assert not places_text(bars[:-1], most).endswith("...")
        assert places_text(bars, most).endswith(f"{2 * most}, ...")
    bars = [(str(2 * k), k) for k in range(1, MOST_IN_WORDS + 2)]
    assert "more" not in places_in_words(bars[:-1])
    assert places_in_words(bars).endswith(" and more")


def test_a_heading_is_told_whole_up_to_its_length() -> None:
    """Forty signs stand as they are, of more the first forty."""
    passage = played("C5 D5 E5", 96.0)
    for more in ("", "o"):
        by = "Allegr".ljust(LONGEST_HEADING, "o") + more
        words = sentence(SOLVER.solve(replace(passage, tempo_by=by)))
        assert words.startswith(f"At quarter = 96 ({by[:LONGEST_HEADING]}{'...' if more else ''}): ")


def test_grips_and_late_changes_are_counted_from_one_on() -> None:
    """With all grips spelt out there are no `0 more below`; a change just in time is not late."""
    route = SOLVER.solve(played("(E6 F#6 E6 F#6 E6 F#6) E6", 160.0))
    others = len(other_grips(route))
    assert others
    assert "more below" not in sentence(route, others)
    assert f"and {others} more below" in sentence(route, 0)
    loads = [LATE] * (len(route.changes) - 1)
    for load, late in ((LATE, 0), (LATE + 0.001, 1)):
        made = zip(route.changes, [*loads, load], strict=True)
        other = replace(route, changes=tuple(replace(each, load=each_load) for each, each_load in made))
        assert sentence(other).count("1 change comes late") == late


def test_a_trill_s_other_note_is_out_of_tune_beyond_what_lips_mend() -> None:
    """At what lips mend it is not told, just below that bound it is."""
    route = SOLVER.solve(with_ornament(played("E6 F6:1/2 E6", 60.0), 1, "trill", "G6"))
    trill = route.notes[1].ornament
    assert trill is not None
    other = trill.notes[1]
    assert other.candidate is not None
    for cents, told in ((12.0, 0), (12.1, 1), (-12.0, 0), (-12.1, 1)):
        tendency = replace(other.candidate.tendency, vs_standard=cents)
        leaning = replace(other, candidate=replace(other.candidate, tendency=tendency))
        flags = ornament_flags(replace(trill, notes=(trill.notes[0], leaning)), 12.0)
        assert sum(" note " in flag and "cents" in flag for flag in flags) == told


def test_advice_goes_up_to_the_highest_note_a_model_claims(monkeypatch: pytest.MonkeyPatch) -> None:
    """Into that note there is advice, into one above it none: nothing is told that no model knows."""
    ends = candidate("E6"), candidate("F#6")
    for highest, silent in ((ends[1].pitch, False), (ends[1].pitch - 1, True)):
        monkeypatch.setattr(changes, "HIGHEST_CLAIM", highest)
        made = RouteChanges(SOLVER.model, SOLVER.crossings)
        assert (made._advice(*ends) == NO_ADVICE) is silent
