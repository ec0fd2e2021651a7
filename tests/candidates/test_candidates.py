"""Candidates of a pitch: rows of the tables, trill partners joined, and grips of the same holes."""

import pytest
from tests.oracles.flutes import candidate, fresh_solver, number, solver_of
from tests.tiers import thinned

from gripway.catalog.flute.trills import trill_rows
from gripway.effort.candidate import Candidate
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.player import Ban, Player

FLUTES = [
    ("concert-flute",),
    ("concert-flute", "b-foot"),
    ("concert-flute", "split-e"),
    ("concert-flute", "open-g-sharp"),
    ("concert-flute", "high-c"),
    ("concert-flute", "c-sharp-trill"),
    ("piccolo",),
    ("alto-flute",),
    ("bass-flute",),
]
BOOK = solver_of().book
PITCHES = range(59, 101)


def everything(*flute: str) -> list[Candidate]:
    """All candidates of all pitches of a flute, with every resting place."""
    book = solver_of(*flute).book
    return [c for pitch in PITCHES for c in book.column(pitch, True, True)]


@pytest.mark.parametrize("flute", thinned([(f,) for f in FLUTES], 3), ids=" ".join)
def test_variants_open_the_same_holes(flute: tuple[str, ...]) -> None:
    """A candidate that is not its row's grip differs in Tb for T or a held Sb and in no hole."""
    mechanism = solver_of(*flute).knowledge.instrument.mechanism
    for c in everything(*flute):
        assert mechanism.hole_pattern(c.grip) == mechanism.hole_pattern(c.row_grip) == c.pattern
        changed = set(Grip(c.grip.mask ^ c.row_grip.mask).touches)
        assert changed in (set(), {"T", "Tb"}, {"Sb"})
        assert (c.held, c.thumb_held) == (len(changed & {"Sb"}), changed == {"T", "Tb"})


@pytest.mark.parametrize("flute", FLUTES, ids=" ".join)
def test_columns_are_in_tie_order(flute: tuple[str, ...]) -> None:
    """Ranks count up from 0; printed grips come before variants, standard before the others."""
    book = solver_of(*flute).book
    for pitch in PITCHES:
        column = book.column(pitch, True, True)
        assert [c.rank for c in column] == list(range(len(column)))
        orders = [(c.held > 0 or c.thumb_held, c.kind != "standard") for c in column]
        assert orders == sorted(orders)
        assert len({(c.grip, c.position) for c in column}) == len(column)


@pytest.mark.parametrize("flute", FLUTES, ids=" ".join)
def test_every_pitch_in_range_has_a_standard_grip_or_a_reason(flute: tuple[str, ...]) -> None:
    """A pitch the tables cover begins with a standard grip; any other says why it has none."""
    solver = solver_of(*flute)
    for pitch in PITCHES:
        column = solver.book.column(pitch, False, False)
        if column:
            assert column[0].kind == "standard"
        else:
            assert solver.book.why_none(pitch)


def test_the_plain_column_holds_printed_grips_only() -> None:
    """Without thumb and lever places each candidate is a row's own grip."""
    for pitch in PITCHES:
        assert all(c.grip == c.row_grip for c in BOOK.column(pitch, False, False))


def test_a_wider_column_keeps_all_of_the_narrow_one() -> None:
    """Resting places add candidates and take none away."""
    for pitch in PITCHES:
        narrow, wide = ({(c.grip, c.position) for c in BOOK.column(pitch, w, w)} for w in (False, True))
        assert narrow <= wide


@pytest.mark.parametrize("flute", FLUTES, ids=" ".join)
def test_both_sides_of_every_good_trill_are_candidates(flute: tuple[str, ...]) -> None:
    """Each pair of the trill table this flute can play is there, each grip with its partner."""
    solver = solver_of(*flute)
    instrument = solver.knowledge.instrument
    for (lower, upper), pairs in trill_rows(instrument).items():
        for pair in pairs:
            if "no-good-trill" in pair.flags or not pair.grips or not pair.needs <= set(instrument.parts):
                continue
            for pitch, grip, partner in zip((lower, upper), pair.grips, (upper, lower), strict=True):
                rows = [c for c in solver.book.column(pitch, False, False) if c.grip == grip]
                flagged = [row for row in solver.book.rows(pitch) if "never-propose" in row.flags]
                assert rows or grip in {row.grip for row in flagged}, (pair.lower, pair.upper, grip.text)
                assert all(partner in c.partners for c in rows)


def test_a_pair_without_a_good_trill_is_no_grip() -> None:
    """A#6-C7 has no good trill: its row presses nothing, and no candidate presses nothing for C7."""
    assert not any(c.grip == Grip(0) for c in BOOK.column(number("C7"), True, True))


def test_a_known_grip_keeps_its_row_in_a_trill() -> None:
    """E4 with R1 R2 is a standard grip also beside F#4: the trill joins a partner, not a new kind."""
    e4 = candidate("E4")
    assert e4.kind == "standard"
    assert number("F#4") in e4.partners


def test_never_propose_is_never_proposed() -> None:
    """Rows that are listed to be refused are no candidates."""
    assert "Tb L1 L3 | R3 Eb" not in {c.grip.text for c in BOOK.column(number("F#6"), True, True)}


@pytest.mark.parametrize("pitch", ["D#6", "F#6", "A6"])
def test_the_little_finger_is_not_simply_lifted(pitch: str) -> None:
    """No D#6, F#6 or A6 is its standard grip with Eb off (facts of the mechanism: never offered)."""
    dropped = candidate(pitch).grip.without("Eb")
    assert dropped not in {c.grip for c in BOOK.column(number(pitch), True, True)}


def test_bans_take_grips_away() -> None:
    """A ban by pitch, by grip and by kind takes just those away."""
    grip = Grip.parse("T L1 | Eb")
    for ban in (Ban(grip=grip), Ban(kind="harmonic"), Ban(pitch=90, grip=grip)):
        column = fresh_solver(player=Player(bans=(ban,))).book.column(90, False, False)
        plain = BOOK.column(90, False, False)
        gone = {c.grip for c in plain} - {c.grip for c in column}
        assert gone == {c.grip for c in plain if ban.covers(90, c.row_grip, c.kind)} != set()


def test_lineage_names_the_low_grip() -> None:
    """D6 on the G grip is its third partial, with L1 up it is vented; G5 is G4 overblown."""
    # D6 = third partial of G4: common practice, no source
    assert candidate("D6", "T L1 L2 L3 | Eb").lineage == "G4 x3"
    assert candidate("D6").lineage == "G4 x3, vent L1"
    assert candidate("D6").sentence.startswith("third partial of the G4 grip; lifting L1 opens")
    assert candidate("G5").lineage == "G4 x2"
    assert (candidate("G4").lineage, candidate("G4").sentence) == ("", "")


def test_without_a_model_lineage_is_what_the_table_says() -> None:
    """The piccolo has no survey: its harmonics name their low grip, its own D6 claims nothing."""
    piccolo = solver_of("piccolo")
    assert candidate("D6", "T L1 L2 L3 | Eb", solver=piccolo).lineage == "G4 x3"
    assert candidate("G5", solver=piccolo).lineage == "G4 x2"
    assert candidate("D6", solver=piccolo).lineage == ""
    assert candidate("D6", solver=piccolo).verdict is None


def test_free_grips_join_the_standard_ones_when_asked() -> None:
    """C5 beside D5 may keep R2 R3 down: more candidates of kind standard, each with its own holes."""
    plain = BOOK.column(number("C5"), False, False)
    beside = BOOK.free_beside(number("C5"), frozenset({number("D5")}))
    wide = BOOK.column(number("C5"), False, False, beside)
    added = {c.grip: c for c in wide if c.grip not in {p.grip for p in plain}}
    assert {c.grip for c in plain} <= {c.grip for c in wide}
    assert set(added) <= set(beside)
    hole_pattern = BOOK.knowledge.instrument.mechanism.hole_pattern
    for grip, c in added.items():
        assert (c.kind, c.row_grip in {p.row_grip for p in plain}) == ("standard", True)
        assert c.pattern == hole_pattern(grip)
        assert c.held == len(set(grip.touches) - set(c.row_grip.touches))
    assert BOOK.free_beside(number("C5"), frozenset()) == ()


def test_the_unsure_range_of_alto_and_bass_is_flagged() -> None:
    """Above G#6 alto and bass grips count as unconfirmed, at G#6 they do not."""
    for flute in ("alto-flute", "bass-flute"):
        flagged = {p: "unconfirmed" in candidate(p, solver=solver_of(flute)).flags for p in ("G#6", "A6")}
        assert flagged == {"G#6": False, "A6": True}


def test_a_dropped_key_is_seen_on_alternates_only() -> None:
    """Only an alternate without any foot touch, of a note whose standard grip has Eb, drops it."""
    for c in everything("concert-flute"):
        if c.eb_dropped:
            assert c.kind == "alternate"
            assert not set(FOOT_TOUCHES) & set(c.row_grip.touches)


@pytest.mark.parametrize(
    ("pitch", "reason"), [(58, "outside"), (101, "outside"), (59, "b-foot"), (100, "split-e")]
)
def test_why_a_pitch_has_none(pitch: int, reason: str) -> None:
    """Out of range, or waiting for a part: B3 for a B foot, E7 for split E."""
    assert BOOK.column(pitch, True, True) == ()
    assert reason in BOOK.why_none(pitch)


def test_a_column_narrowed_alike_is_one_object() -> None:
    """Standard grips, or one grip of the tables; all where there is none; the same object for every asker."""
    book = solver_of().book
    column = book.column(number("F#6"), False, False)
    standard, alternate = book.narrowed(column, None), book.narrowed(column, Grip.parse("T 1 3 | 2 Eb"))
    assert {c.kind for c in standard} == {"standard"}
    assert {c.row_grip.text for c in alternate} == {"T L1 L3 | R2 Eb"}
    assert book.narrowed(column, Grip.parse("T 1 2 | Eb")) is column
    assert book.narrowed(column, None) is standard
