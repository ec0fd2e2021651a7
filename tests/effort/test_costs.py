"""The effort model: ledgers of holding and moving, dials, and the fast totals beside them."""

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import settings as quick
from hypothesis import strategies as st
from tests.oracles.change_time import turning_ms
from tests.oracles.flutes import FIGURES, TABLES, candidate, fresh_solver, solver_of
from tests.oracles.passages import passages, played, with_ornament
from tests.tiers import examples

from gripway.effort.candidate import Candidate
from gripway.effort.change_time import in_context
from gripway.effort.costs import EffortModel, Step
from gripway.effort.hand import FINGER_BITS
from gripway.effort.lean_effort import tuning_effort
from gripway.effort.ledger import Ledger
from gripway.effort.load import load_effort
from gripway.effort.setting import Link, links, settings
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip
from gripway.model.passage import Ornament, Passage
from gripway.model.pitch import Pitch, plain_name
from gripway.model.player import PLAIN_PLAYER, Player

SOLVER = solver_of()
MODEL = SOLVER.model
LINKS = st.builds(
    Link,
    st.floats(20.0, 3000.0),
    st.sampled_from([0.0, 0.25, 0.5, 1.0]),
    st.booleans(),
    st.integers(0, sum(FINGER_BITS.values())),
)
HOLDING_TERMS = {"tuning", "looseness", "response", "familiarity", "held", "b_flat", "trill"}
C_SHARP_7 = 97  # nothing is claimed of the holes above it
MOVING_TERMS = {"load", "balance", "lip", "unsafe", "thumb"}


@st.composite
def candidates(draw: st.DrawFn) -> Candidate:
    """Any candidate of the concert flute."""
    return draw(st.sampled_from(SOLVER.book.column(draw(st.integers(60, 99)), True, True)))


def turned(**dials: float) -> EffortModel:
    """The model of a player who turned some dials."""
    player = replace(PLAIN_PLAYER, dials=tuple(dials.items()))
    return EffortModel(TABLES, player, MODEL.grips_of, MODEL.unsafe)


@quick(max_examples=examples(120), deadline=None)
@given(st.lists(candidates(), min_size=1, max_size=4), candidates(), LINKS)
def test_fast_totals_equal_the_ledgers(before: list[Candidate], after: Candidate, link: Link) -> None:
    """moving_totals gives the totals of moving, and moving refuses fast thumb slides only."""
    steps = [Step(*numbers) for numbers in MODEL.steps(before, after)]
    totals = MODEL.moving_totals(steps, link)
    for step, total in zip(steps, totals, strict=True):
        moved = MODEL.moving(step, link)
        too_fast = step.thumb_slide and link.available_ms < FIGURES.thumb_slide_least_ms
        assert (moved is None) == too_fast
        if moved is not None:
            assert moved.total == total == MODEL.moving_total(step, link)
            assert {name for name, _ in moved.parts} <= MOVING_TERMS


@quick(max_examples=examples(120), deadline=None)
@given(candidates(), candidates(), LINKS)
def test_moving_is_load_balance_lip_and_ways(before: Candidate, after: Candidate, link: Link) -> None:
    """The ledger of a change, put together again from its time, support, holes and grips on the way."""
    step = MODEL.step(before, after)
    moved = MODEL.moving(replace_slide(step), link)
    change = MODEL.change(before, after)
    touch = FIGURES.slurred_factor if link.slurred else FIGURES.tongued_factor
    fresh = {finger for finger, _ in change.movers if FINGER_BITS[finger] & link.fresh}
    line_ms = max(change.line_ms, turning_ms(fresh))
    pace_ms = max(link.available_ms, 95.0 * link.alternation)
    load = touch * in_context(change.alternating_ms, line_ms, link.alternation) / pace_ms
    felt = max(0.0, abs(after.support - before.support) - FIGURES.balance_free_support)
    slower = min(1.0, FIGURES.balance_time_ms / link.available_ms)
    same_holes = before.pattern == after.pattern and before.pitch != after.pitch
    own = any(one.lineage.split(" ")[0] == plain_name(two.pitch) for one, two in pairs_of(before, after))
    lip = same_holes and "harmonic" in (before.kind, after.kind) and not own
    parts = dict(moved.parts)
    assert parts.get("load", 0) == pytest.approx(1000 * load_effort(load, FIGURES), abs=0.51)
    assert parts.get("balance", 0) == pytest.approx(1000 * FIGURES.balance_effort * felt * slower, abs=0.51)
    partials = FIGURES.partial_change_effort * (1.0 + 3.0 * link.alternation) if lip else 0.0
    assert parts.get("lip", 0) == pytest.approx(1000 * partials, abs=0.51)
    stray = unsafe_share(before, after) * min(1.0, FIGURES.unsafe_time_ms / link.available_ms)
    assert parts.get("unsafe", 0) == pytest.approx(1000 * FIGURES.unsafe_effort * stray, abs=0.51)


def pairs_of(a: Candidate, b: Candidate) -> list[tuple[Candidate, Candidate]]:
    """The harmonics of two candidates, each with the other one."""
    return [(one, two) for one, two in ((a, b), (b, a)) if one.kind == "harmonic"]


def unsafe_share(before: Candidate, after: Candidate) -> float:
    """Share of the grips on the way that sound neither note, each of them looked up one by one.

    Every set of movers but none and all is a grip on the way, as the article the words safe and
    unsafe come from counts them (Almeida and others 2009). Within one note nothing sounds wrong.
    """
    first, last = before.position.places, after.position.places
    movers = [
        finger for finger, (x, y) in enumerate(zip(first, last, strict=True)) if pressed(x) != pressed(y)
    ]
    if before.pitch == after.pitch or len(movers) < 2 or max(before.pitch, after.pitch) > C_SHARP_7:
        return 0.0
    hole_pattern = SOLVER.knowledge.instrument.mechanism.hole_pattern
    near, unsafe, passed = SOLVER.knowledge.survey.sounds.near, 0, 0
    for count in range(1, len(movers)):
        for there in combinations(movers, count):
            touches = [
                touch for f in range(len(first)) for touch in pressed((last if f in there else first)[f])
            ]
            pattern = hole_pattern(Grip.of(touches))
            sounds = pattern in (before.pattern, after.pattern) or (
                near.get(pattern, 0) & (1 << before.pitch | 1 << after.pitch)
            )
            unsafe, passed = unsafe + (not sounds), passed + 1
    return unsafe / passed


def pressed(place: str) -> list[str]:
    """The touches a finger presses: none while it is lifted (`-T`, or nothing)."""
    return [] if place.startswith("-") else place.split()


def test_a_thumb_slide_costs_where_there_is_time_for_it() -> None:
    """T to Tb while down impedes the technique (taught): its size in the least time, less with more."""
    slide = MODEL.step(candidate("A5"), candidate("A#5", "Tb L1 | Eb"))
    least_ms = FIGURES.thumb_slide_least_ms
    for share in (1, 10):
        moved = MODEL.moving(slide, Link(share * least_ms, 0.0, slurred=False))
        assert dict(moved.parts)["thumb"] == round(1000 * FIGURES.thumb_slide_effort / share)
    lifted = MODEL.step(candidate("C6"), candidate("A#5", "Tb L1 | Eb"))
    assert "thumb" not in dict(MODEL.moving(lifted, Link(400.0, 0.0, slurred=False)).parts)


def replace_slide(step: Step) -> Step:
    """The step as if its thumb did not slide, so that no time forbids it."""
    return step._replace(thumb_slide=False)


@quick(max_examples=examples(60), deadline=None)
@given(passages(least=1, most=5), st.data())
def test_holding_ledgers_are_sums_of_known_terms(passage: Passage, data: st.DataObject) -> None:
    """Every part of holding has a known name, a size above 0, and the total is their sum."""
    about = settings(passage.notes, links(passage.notes, FIGURES), TABLES)
    place = data.draw(st.integers(0, len(about) - 1))
    for c in SOLVER.book.column(passage.notes[place].pitch.number, True, True):
        held = MODEL.holding(c, about[place])
        if held is not None:
            assert held.total == sum(amount for _, amount in held.parts)
            assert {name for name, _ in held.parts} <= HOLDING_TERMS
            assert all(amount > 0 for _, amount in held.parts)


def test_in_a_rest_the_thumb_is_lifted_and_slides_nowhere() -> None:
    """From the least time of a rest on it costs next to nothing, without the time of the slide."""
    slide = MODEL.step(candidate("A5"), candidate("A#5", "Tb L1 | Eb"))
    least_ms = FIGURES.thumb_rest_least_ms
    rest = Link(least_ms, 0.0, slurred=False, rested=True)
    assert dict(MODEL.moving(slide, rest).parts)["thumb"] == round(1000 * FIGURES.thumb_rest_effort)
    assert MODEL.moving_total(slide, rest) == MODEL.moving(slide, rest).total
    assert MODEL.change_ms(slide, rest) == slide.line_ms - FIGURES.line_slide_thumb_ms
    assert MODEL.moving(slide, Link(least_ms - 0.1, 0.0, slurred=False, rested=True)) is None
    assert MODEL.moving(slide, Link(least_ms, 0.0, slurred=False)) is None


def test_a_fast_thumb_slide_is_refused() -> None:
    """T to Tb while down is not allowed under 400 ms and allowed from there on (hard rule)."""
    slide = MODEL.step(candidate("A5"), candidate("A#5", "Tb L1 | Eb"))
    assert slide.thumb_slide
    assert MODEL.moving(slide, Link(399.9, 0.0, slurred=False)) is None
    assert MODEL.moving_total(slide, Link(399.9, 0.0, slurred=False)) is None
    assert MODEL.moving(slide, Link(400.0, 0.0, slurred=False)) is not None


def test_slurs_load_more_than_tonguing() -> None:
    """A slurred change has 1.1 of its load, a tongued one 0.9."""
    step = MODEL.step(candidate("E4"), candidate("F#4"))
    slurred, tongued = (MODEL.load(step, Link(100.0, 0.0, slurred=s)) for s in (True, False))
    assert slurred / tongued == pytest.approx(1.1 / 0.9)


def test_another_partial_on_the_same_holes_is_lip_work() -> None:
    """G5 to D6 on the G grip moves no finger and costs lip work; so does nothing within one note."""
    g5, d6 = candidate("G5"), candidate("D6", "T L1 L2 L3 | Eb")
    moved = MODEL.moving(MODEL.step(g5, d6), Link(200.0, 0.0, slurred=True))
    assert dict(moved.parts) == {"lip": round(1000 * FIGURES.partial_change_effort)}
    assert MODEL.step(d6, d6).lip == 0.0


def test_lips_do_not_go_to_and_fro_as_fingers_do() -> None:
    """Another partial on the same holes costs four times as much in an alternation at full speed."""
    step = MODEL.step(candidate("G5"), candidate("D6", "T L1 L2 L3 | Eb"))
    once, again = (MODEL.moving(step, Link(80.0, a, slurred=True)).total for a in (0.0, 1.0))
    assert again == pytest.approx(4 * once)


def test_nobody_alternates_faster_than_a_trill() -> None:
    """An alternation costs the same at 60 ms as at 95; its load is that of the written time."""
    step = MODEL.step(candidate("E5"), candidate("F#5"))
    written = [Link(ms, 1.0, slurred=True) for ms in (60.0, 95.0, 96.0)]
    fast, trill, slower = (dict(MODEL.moving(step, link).parts)["load"] for link in written)
    assert fast == trill > slower
    assert MODEL.load(step, written[0]) == pytest.approx(MODEL.load(step, written[1]) * 95.0 / 60.0)


def test_a_low_note_and_its_own_partial_are_free_of_lip_work() -> None:
    """G4 to D6 on the G grip asks of the lip what any grip for D6 would."""
    g4, d6 = candidate("G4"), candidate("D6", "T L1 L2 L3 | Eb")
    assert MODEL.step(g4, d6).lip == MODEL.step(d6, g4).lip == 0.0


def test_octaves_on_standard_grips_are_no_lip_work() -> None:
    """E4-E5 is the same grip and no harmonic: the plain octave costs nothing."""
    assert MODEL.step(candidate("E4"), candidate("E5")).lip == 0.0


def test_a_slow_change_sounds_less_on_the_way() -> None:
    """C5-D5 passes grips of neither note: up to 150 ms at full cost, in 300 ms at half of it."""
    step = MODEL.step(candidate("C5"), candidate("D5"))
    quick, limit, slow = (
        dict(MODEL.moving(step, Link(ms, 0.0, slurred=True)).parts)["unsafe"] for ms in (60.0, 150.0, 300.0)
    )
    assert 0.0 < step.unsafe <= 1.0
    assert quick == limit == round(1000 * FIGURES.unsafe_effort * step.unsafe)
    assert slow == pytest.approx(limit / 2, abs=1)


def test_without_a_model_nothing_is_said_of_the_way() -> None:
    """No survey, as for the piccolo: every change is without that cost."""
    piccolo = solver_of("piccolo")
    step = piccolo.model.step(candidate("C5", solver=piccolo), candidate("D5", solver=piccolo))
    assert piccolo.knowledge.survey is None
    assert step.unsafe == 0.0
    assert MODEL.step(candidate("C5"), candidate("D5")).unsafe > 0.0


@pytest.mark.parametrize("dial", sorted(TABLES.dials))
def test_a_dial_scales_its_own_terms_only(dial: str) -> None:
    """Doubling a dial doubles its terms, to the rounding, and leaves the others as they are."""
    doubled, terms = turned(**{dial: 2.0}), set(TABLES.dials[dial].terms)
    notes = played("pp C5 (D5:1/2 G#6 ff A#6:1/2) F#6 E6 F#6 E6 Bb5 B5", 132.0).notes
    between = links(notes, FIGURES)
    about = settings(notes, between, TABLES)
    for place, note in enumerate(notes):
        for c in SOLVER.book.column(note.pitch.number, True, True):
            plain, other = MODEL.holding(c, about[place]), doubled.holding(c, about[place])
            assert (plain is None) == (other is None)
            check_scaled(plain, other, terms)
        first, second = (candidate(n.pitch.plain) for n in (notes[place - 1], note))
        step = MODEL.step(first, second)
        if place:
            check_scaled(MODEL.moving(step, between[place]), doubled.moving(step, between[place]), terms)


def check_scaled(plain: Ledger | None, other: Ledger | None, terms: set[str]) -> None:
    """Terms of the dial are doubled, the others equal."""
    if plain is None or other is None:
        assert plain is other
        return
    before, after = dict(plain.parts), dict(other.parts)
    for name in before.keys() | after.keys():
        if name in terms:
            assert after.get(name, 0) == pytest.approx(2 * before.get(name, 0), abs=1)
        elif name != "trill":  # a trill is itself made of every term
            assert after.get(name, 0) == before.get(name, 0)


def test_habit_pays_for_the_lean_of_a_usual_grip_in_passing() -> None:
    """E6's standard grip is sharp: three tenths of that cost in passing, all of it sustained."""
    e6 = candidate("E6", "T L1 L2 | R1 R2 Eb")
    about = settings(played("E6").notes, links(played("E6").notes, FIGURES), TABLES)[0]
    full = MODEL.tuning(e6, replace(about, exposure=1.0, sustain=1.0))
    assert full == pytest.approx(tuning_effort(e6.tendency.cents, FIGURES))
    assert MODEL.tuning(e6, replace(about, exposure=1.0, sustain=0.0)) == pytest.approx(0.3 * full)
    assert MODEL.tuning(e6, replace(about, exposure=1.0, sustain=0.5)) == pytest.approx(0.65 * full)


def test_habit_pays_for_no_unusual_grip() -> None:
    """An alternate of the same lean pays in full wherever it stands, and for the doubt about it."""
    e6 = candidate("E6", "T L1 L2 | R1 R2 Eb")
    other = replace(e6, kind="alternate")
    about = settings(played("E6").notes, links(played("E6").notes, FIGURES), TABLES)[0]
    costs = [MODEL.tuning(other, replace(about, exposure=1.0, sustain=s)) for s in (0.0, 0.5, 1.0)]
    assert costs == [costs[0]] * 3
    assert costs[0] > MODEL.tuning(e6, replace(about, exposure=1.0, sustain=1.0))


def test_habit_helps_a_poor_response_in_a_line_and_not_in_a_leap() -> None:
    """The resistant E6 costs its response in full in a leap and when held, three tenths of it in a line."""
    e6 = candidate("E6", "T L1 L2 | R1 R2 Eb")
    assert e6.response == "resistant"

    def response(text: str, place: int) -> float:
        notes = played(text).notes
        about = replace(settings(notes, links(notes, FIGURES), TABLES)[place], exposure=1.0)
        return dict(MODEL.holding(e6, about).parts)["response"] / 1000

    assert response("D6 E6 F6", 1) == pytest.approx(0.3 * 0.15)
    assert response("A5 E6 A6", 1) == pytest.approx(0.15)
    assert response("E6:1/1", 0) == pytest.approx(0.15)
    assert response("pp E6:1/1", 0) == pytest.approx(0.15 * FIGURES.response_soft_factor)


def test_other_tables_keep_player_and_grips() -> None:
    """A model with other tables has the figures of those, and the player, grips and ways of the first."""
    other = MODEL.with_tables(replace(TABLES, figures=replace(FIGURES, line_travel_ms=72.0)))
    step = other.step(candidate("G4"), candidate("A4"))
    assert step.line_ms == pytest.approx(2 * MODEL.step(candidate("G4"), candidate("A4")).line_ms)
    assert (other.player, other.grips_of, other.unsafe) == (MODEL.player, MODEL.grips_of, MODEL.unsafe)


def test_dials_leave_the_truth_alone() -> None:
    """Times, loads and leans do not change with any dial."""
    other = turned(speed=4.0, steadiness=0.0, tuning=4.0, familiarity=0.0)
    link = Link(125.0, 0.0, slurred=True)
    for first, second in (("C5", "D5"), ("F#6", "G#6"), ("A5", "A#5")):
        a, b = candidate(first), candidate(second)
        assert other.change(a, b) == MODEL.change(a, b)
        assert other.load(other.step(a, b), link) == MODEL.load(MODEL.step(a, b), link)
        assert other.tuning(b, settings(played(second).notes, (link,), TABLES)[0]) == MODEL.tuning(
            b, settings(played(second).notes, (link,), TABLES)[0]
        )


def test_a_dial_at_nothing_silences_its_terms() -> None:
    """With tuning at 0 no grip pays for its lean."""
    silent = turned(tuning=0.0)
    notes = played("pp G#6:1/1").notes
    about = settings(notes, links(notes, FIGURES), TABLES)[0]
    plain = candidate("G#6")
    assert "tuning" in dict(MODEL.holding(plain, about).parts)
    assert "tuning" not in dict(silent.holding(plain, about).parts)


@pytest.mark.parametrize(("name", "value"), [("speed", 4.5), ("speed", -0.1), ("sped", 1.0)])
def test_dials_are_checked(name: str, value: float) -> None:
    """A dial outside its range, or none of ours, is an error with its place."""
    with pytest.raises(PlayerFileError) as error:
        turned(**{name: value})
    assert "dial" in error.value.place
    assert error.value.next_step


def test_a_slow_finger_makes_its_changes_slow() -> None:
    """A player with an R4 twice as slow needs twice the time for D4-D#4 and no more for others."""
    slow = fresh_solver(player=Player(finger_factors=(("R4", 2.0),))).model
    d, d_sharp, g, a = (candidate(p) for p in ("D4", "D#4", "G4", "A4"))
    assert slow.change(d, d_sharp).alternating_ms == pytest.approx(
        2 * MODEL.change(d, d_sharp).alternating_ms
    )
    assert slow.change(g, a) == MODEL.change(g, a)


def test_a_known_grip_costs_no_unfamiliarity() -> None:
    """What the player has in the fingers is as familiar as a standard grip."""
    harmonic = candidate("F#6", "T L1 | Eb")
    player = Player(known=frozenset({(harmonic.pitch, harmonic.grip)}))
    own = candidate("F#6", "T L1 | Eb", solver=fresh_solver(player=player))
    notes = played("E6 F#6 G6").notes
    about = settings(notes, links(notes, FIGURES), TABLES)[1]
    assert dict(MODEL.holding(harmonic, about).parts)["familiarity"] > 0
    assert "familiarity" not in dict(MODEL.holding(own, about).parts)


def test_a_written_trill_takes_the_best_other_grip() -> None:
    """The trill term is the least sum over the other note's grips: moving, holding, points of the pair."""
    notes = with_ornament(played("C6:1/2", 60.0), 0, "trill", "D6").notes
    about = settings(notes, links(notes, FIGURES), TABLES)[0]
    c6 = candidate("C6")
    there = replace(
        about,
        neighbours=frozenset({c6.pitch}),
        partners=frozenset({c6.pitch}),
        uses=frozenset({"motion", "turn"}),  # 100 ms between two C6, however long the written note is
        trill=None,
        paired=True,  # the points say how the pair is known, so its grip does not pay for that again
    )
    link = Link(FIGURES.trill_note_ms, 1.0, slurred=True)
    sums = []
    for other in MODEL.grips_of(about.trill):
        held, moved = MODEL.holding(other, there), MODEL.moving(MODEL.step(c6, other), link)
        if held is not None and moved is not None:
            against = FIGURES.trill_point_effort * MODEL.pair_points(c6, other)
            sums.append(held.total + moved.total + round(1000 * against))
    assert MODEL.trill(c6, about)[0] == min(sums)
    assert dict(MODEL.holding(c6, about).parts)["trill"] == min(sums)


@pytest.mark.parametrize("kind", ["turn", "inverted-turn", "mordent", "inverted-mordent"])
def test_a_turn_goes_to_each_auxiliary_note_and_back(kind: str) -> None:
    """Each auxiliary note takes its best grip by itself: there, held for a moment, and back."""
    ornament = Ornament(kind, upper=Pitch.parse("G#6"), lower=Pitch.parse("E6"))
    if "mordent" in kind:
        ornament = replace(ornament, **{"lower" if kind == "inverted-mordent" else "upper": None})
    note = replace(played("F#6:1/2", 60.0).notes[0], ornament=ornament)
    about = settings((note,), links((note,), FIGURES), TABLES)[0]
    main = candidate("F#6")
    link = Link(FIGURES.ornament_note_ms, 0.0, slurred=True)
    total = 0
    for pitch in about.auxiliaries:
        there = replace(
            about,
            neighbours=frozenset({main.pitch}),
            partners=frozenset({main.pitch}),
            uses=frozenset({"motion", "quick", "turn"}),
            auxiliaries=(),
            exposure=FIGURES.ornament_note_ms / FIGURES.exposure_full_ms,
        )
        sums = []
        for other in MODEL.grips_of(pitch):
            held = MODEL.holding(other, there)
            ways = [MODEL.moving(MODEL.step(*pair), link) for pair in ((main, other), (other, main))]
            if held is not None and None not in ways:
                sums.append(held.total + sum(way.total for way in ways if way))
        total += min(sums)
    assert len(about.auxiliaries) == (2 if "turn" in kind else 1)
    assert MODEL.ornament(main, about)[0] == total
    assert dict(MODEL.holding(main, about).parts)["trill"] == total


def test_a_note_without_a_trill_has_no_trill_term() -> None:
    """A plain note asks for no other grip."""
    notes = played("C6:1/2").notes
    assert MODEL.trill(candidate("C6"), settings(notes, links(notes, FIGURES), TABLES)[0]) == (0, None)
