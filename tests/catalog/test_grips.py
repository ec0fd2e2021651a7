"""The table of grips and its reader: what every row must keep, and how instruments change it."""

import math
from collections import defaultdict
from pathlib import Path

import pytest
from tests.every import every

from gripway.catalog.flute import grips
from gripway.catalog.flute.grips import (
    GRIP_COLUMNS,
    GripRow,
    allowed,
    for_open_g_sharp,
    grip_rows,
    read_grips,
)
from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch, plain_name

FULL = load_instrument("concert-flute", ["high-c", "c-sharp-trill"])
ROWS = tuple(row for row in read_grips("concert-flute"))
PARTIAL_SEMITONES = {2: 12, 3: 19, 4: 24, 5: 28, 6: 31, 7: 34, 8: 36}
"""Nearest tempered interval of each partial: whole-number ratios, no source needed."""

NEVER_B_FLAT_LEVER = ("B4", "B5", "B6", "C5", "C6", "C#5", "C#6", "F#6", "D#7")
"""Notes the thumb lever or side lever spoils (common practice, no source)."""


def number(name: str) -> int:
    """The note number of a pitch name."""
    return Pitch.parse(name).number


def texts(instrument: Instrument, pitch: str, kind: str = "") -> list[str]:
    """The grips of a pitch on an instrument, of one kind or all."""
    return [row.grip.text for row in grip_rows(instrument)[number(pitch)] if not kind or row.kind == kind]


def row_id(row: GripRow) -> str:
    """A name of the row for the report."""
    return f"{plain_name(row.pitch)} {row.grip}"


@every(ROWS, row_id)
def test_every_grip_can_be_held_on_a_flute_that_has_what_it_needs(row: GripRow) -> None:
    """Nine fingers can press each grip on a flute with the parts its row asks for."""
    flute = load_instrument("concert-flute", row.needs)
    assert flute.mechanism.holds(row.grip)


@every(ROWS, row_id)
def test_a_row_needs_the_part_that_carries_its_touches(row: GripRow) -> None:
    """B and Hc stand on a B foot, Kcs on a flute with that key: nothing else asks for them."""
    part_of = {"B": "b-foot", "Hc": "high-c", "Kcs": "c-sharp-trill"}
    asked = {part_of[touch] for touch in row.grip.touches if touch in part_of}
    assert asked == row.needs - {"split-e", "open-g-sharp"}


def test_no_pitch_has_the_same_grip_twice() -> None:
    """One row a grip and pitch."""
    assert len({(row.pitch, row.grip) for row in ROWS}) == len(ROWS)


def test_rows_run_by_pitch_then_kind() -> None:
    """Table order breaks ties, so standard grips come first at every pitch."""
    keys = [(row.pitch, grips.KINDS.index(row.kind)) for row in ROWS]
    assert keys == sorted(keys)


def test_every_semitone_of_the_range_has_a_standard_grip_and_none_above() -> None:
    """B3 to E7 are covered; F7 and F#7 have no confirmed grip (common practice, no source)."""
    standard = {row.pitch for row in ROWS if row.kind == "standard"}
    assert standard == set(range(number("B3"), number("E7") + 1))
    assert max(row.pitch for row in ROWS) == number("E7")


def test_the_second_octave_repeats_the_first_from_e_to_c_sharp() -> None:
    """E5..C#6 use the grips of E4..C#5 (common practice, no source)."""
    for pitch in range(number("E4"), number("C#5") + 1):
        low, high = plain_name(pitch), plain_name(pitch + 12)
        assert texts(FULL, low, "standard") == texts(FULL, high, "standard")


@pytest.mark.parametrize(
    ("pitch", "grip"),
    [
        ("D5", "T L2 L3 | R1 R2 R3"),  # D4 with L1 lifted as a vent
        ("D#5", "T L2 L3 | R1 R2 R3 Eb"),  # D#4 with L1 lifted
        ("D6", "T L2 L3 | Eb"),  # G4 with L1 lifted
        ("D#6", "T L1 L2 L3 L4 | R1 R2 R3 Eb"),  # D#4 vented by L4
        ("E6", "T L1 L2 | R1 R2 Eb"),  # E4 vented at L3
        ("F6", "T L1 L3 | R1 Eb"),  # a fork
        ("G6", "L1 L2 L3 | Eb"),  # G4 with the thumb lifted
    ],
)
def test_standard_grips_of_the_upper_octaves_are_the_low_ones_vented(pitch: str, grip: str) -> None:
    """Which low grip each is, and where it is vented (common practice, no source)."""
    assert texts(load_instrument(), pitch)[0] == grip


@every([row for row in ROWS if row.kind == "standard"], row_id)
def test_the_little_finger_is_down_except_where_the_trade_lifts_it(row: GripRow) -> None:
    """Eb is down but for D4 D5, the lowest notes, B6 and C7 up, and E6 on purpose (common practice)."""
    lifted = {*range(number("B3"), number("D4") + 1), number("D5"), *range(number("B6"), number("E7") + 1)}
    if row.pitch == number("E6"):
        return
    assert row.grip.has("Eb") == (row.pitch not in lifted)


@every(ROWS, row_id)
def test_no_proposed_grip_spoils_its_note_with_a_b_flat_lever(row: GripRow) -> None:
    """Tb and Sb stay off B, C, C#, F#6 and D#7 unless the row is never to be proposed."""
    if plain_name(row.pitch) in NEVER_B_FLAT_LEVER and "never-propose" not in row.flags:
        assert not row.grip.has("Tb")
        assert not row.grip.has("Sb")


def test_e6_without_the_little_finger_leans_near_true_and_with_it_sharp() -> None:
    """E6 is sharp and lifting Eb lowers it (C. Hummel, High register hacks, 2015)."""
    with_eb, without = grip_rows(load_instrument())[number("E6")][:2]
    assert with_eb.lean is not None
    assert without.lean is not None
    assert (with_eb.lean.basis, without.lean.basis) == ("tempered", "standard")
    assert with_eb.lean.cents >= 10
    assert abs(with_eb.lean.cents + without.lean.cents) <= 5


@every([row for row in ROWS if row.partial], row_id)
def test_a_harmonic_is_the_grip_of_its_low_note_at_the_interval_of_its_partial(row: GripRow) -> None:
    """Grip and pitch follow from the low note and the number of the partial."""
    assert row.partial is not None
    assert row.partial_of is not None
    low = [
        each.grip for each in ROWS if each.pitch == row.partial_of and each.kind in ("standard", "alternate")
    ]
    assert row.grip in low
    assert row.pitch - row.partial_of == PARTIAL_SEMITONES[row.partial]


def test_only_harmonics_count_partials_and_all_of_them_do() -> None:
    """Kind and partial say the same."""
    assert all((row.kind == "harmonic") == (row.partial is not None) for row in ROWS)


def test_fifth_and_seventh_partials_carry_their_pure_deviation() -> None:
    """14 and 31 cents below equal temperament: 1200 log2 of 5 and 7 (any handbook of intervals)."""
    table = "grips/concert-flute.csv"
    found = 0
    for cells in read_rows(tables_folder() / table, table, GRIP_COLUMNS):
        if cells.cells["partial"] in ("5", "7") and "never-propose" not in cells.words("flags"):
            partial = cells.number("partial")
            pure = 1200 * math.log2(partial) - 100 * PARTIAL_SEMITONES[partial]
            assert float(cells.text("pure_cents")) == pytest.approx(pure, abs=0.05)
            assert cells.cells["lean_basis"] == "tempered"
            found += 1
    assert found >= 12


def test_the_model_comes_before_the_pure_partial_of_a_harmonic() -> None:
    """A real tube is further from the note than the ratio says, so its figure is the lean."""
    harmonics = [row for row in ROWS if row.partial in (5, 7) and row.modelled is not None]
    assert harmonics
    assert all(row.lean == row.modelled for row in harmonics)


def test_no_lean_is_given_for_a_grip_with_no_resonance_near_the_note() -> None:
    """Harmonics that are never to be proposed say nothing of their pitch."""
    silent = [row for row in ROWS if "never-propose" in row.flags and row.kind == "harmonic"]
    assert silent
    assert all(row.lean is None and row.modelled is None for row in silent)


def test_the_harmonics_taught_in_passing_are_marked() -> None:
    """B4 for F#6, A4 for E6, C5 for G6, G4 for D6, C#5 for G#6, A#4 for F6 (common practice)."""
    marked = {
        (plain_name(row.pitch), plain_name(row.partial_of))
        for row in ROWS
        if row.in_passing and row.partial_of is not None
    }
    assert marked == {("F#6", "B4"), ("E6", "A4"), ("G6", "C5"), ("D6", "G4"), ("G#6", "C#5"), ("F6", "A#4")}


def test_the_same_holes_at_one_pitch_lean_the_same() -> None:
    """Two ways to open the same holes cannot differ in pitch."""
    leans = defaultdict(set)
    for row in ROWS:
        if row.needs & {"open-g-sharp", "split-e"} or row.kind == "standard":
            continue  # on another mechanism; a standard grip leans by definition 0 from itself
        pattern = FULL.mechanism.hole_pattern(row.grip)
        lean = row.lean and (row.lean.cents, row.lean.basis)
        leans[row.pitch, pattern].add((lean, row.modelled and row.modelled.cents))
    assert {key: values for key, values in leans.items() if len(values) > 1} == {}


def test_an_alternate_with_the_holes_of_the_standard_grip_does_not_lean_from_it() -> None:
    """Its lean is 0 from the standard grip, or the very lean of the standard grip."""
    standard = {
        (row.pitch, FULL.mechanism.hole_pattern(row.grip)): row for row in ROWS if row.kind == "standard"
    }
    found = 0
    for row in ROWS:
        twin = standard.get((row.pitch, FULL.mechanism.hole_pattern(row.grip)))
        if twin is None or row is twin or row.lean is None or row.needs & {"open-g-sharp"}:
            continue
        found += 1
        assert row.lean == twin.lean or (row.lean.basis, row.lean.cents) == ("standard", 0.0)
    assert found >= 3


@every([row for row in ROWS if row.kind == "trill"], row_id)
def test_a_trill_grip_names_its_partner_within_a_whole_step(row: GripRow) -> None:
    """Trill grips are for motion to a neighbour."""
    assert row.partners
    assert all(0 < abs(partner - row.pitch) <= 2 for partner in row.partners)
    assert "motion" in row.for_


@pytest.mark.parametrize("pitch", ["E6", "C7"])
def test_a_pitch_with_two_standard_grips_says_which_is_the_base(pitch: str) -> None:
    """Exactly one base is for a plain flute; where its part makes a grip the usual one, that is one too."""
    rows = [row for row in ROWS if row.pitch == number(pitch) and row.kind == "standard"]
    bases = [row.needs for row in rows if "base" in row.flags and "open-g-sharp" not in row.needs]
    part = {"E6": [], "C7": [frozenset({"high-c"})]}[pitch]  # the facilitator is there to be used
    assert bases == [*part, frozenset()]


def test_the_unconfirmed_top_is_flagged() -> None:
    """No chart seen confirms D#7 or E7."""
    top = [row for row in ROWS if row.pitch >= number("D#7")]
    assert top
    assert all("unconfirmed" in row.flags and row.confidence == "low" for row in top)


def test_rows_for_other_parts_stay_but_are_not_allowed() -> None:
    """Without a B foot the facilitator's C7 is still listed, so that a part can be named."""
    plain = load_instrument()
    c7 = {row.grip.text: allowed(row, plain) for row in grip_rows(plain)[number("C7")]}
    assert c7["L1 L2 L3 L4 | R1"]
    assert not c7["L1 L2 L3 L4 | R1 Hc"]


def test_a_flute_with_facilitator_plays_c7_with_it_first() -> None:
    """The part is there to be used: its standard grip comes before the plain one, which a plain flute has."""
    plain = load_instrument()
    allowed_here = [row.grip.text for row in grip_rows(plain)[number("C7")] if allowed(row, plain)]
    assert allowed_here[0] == "L1 L2 L3 L4 | R1"
    assert texts(FULL, "C7")[0] == "L1 L2 L3 L4 | R1 Hc"


def test_open_g_sharp_keeps_the_holes_of_every_rewritten_grip() -> None:
    """G-sharp hole and duplicate act together: a rewritten grip opens the same way to G-sharp."""
    opened = load_instrument("concert-flute", ["open-g-sharp", "high-c", "c-sharp-trill"]).mechanism
    for row in ROWS:
        if row.needs & {"open-g-sharp", "split-e"}:
            continue
        closed_ids = {hole.id for hole in FULL.mechanism.open_holes(row.grip)}
        open_ids = {hole.id for hole in opened.open_holes(for_open_g_sharp(row.grip))}
        if closed_ids & {"gs", "gs_dup"}:
            closed_ids = closed_ids - {"gs_dup"} | {"gs"}
        assert open_ids == closed_ids, row_id(row)


def test_open_g_sharp_plays_g_sharp_without_and_e6_with_the_left_little_finger() -> None:
    """L4 shuts the hole there: off for G#, on for G, and on for E6 (common practice, no source)."""
    flute = load_instrument("concert-flute", ["open-g-sharp"])
    assert texts(flute, "G#4")[0] == "T L1 L2 L3 | Eb"
    assert texts(flute, "G4")[0] == "T L1 L2 L3 L4 | Eb"
    assert texts(flute, "E6", "standard") == ["T L1 L2 L4 | R1 R2 Eb", "T L1 L2 L4 | R1 R2"]


@pytest.mark.parametrize("name", instrument_names())
def test_every_instrument_covers_its_range_with_grips_it_can_hold(name: str) -> None:
    """One allowed grip at least on each written note, and no impossible one."""
    instrument = load_instrument(name)
    rows = grip_rows(instrument)
    uncovered = [
        plain_name(pitch)
        for pitch in range(instrument.lowest, instrument.highest + 1)
        if not any(allowed(row, instrument) for row in rows.get(pitch, ()))
    ]
    # B3 needs a B foot and E7 a split E; nothing else may be missing
    assert set(uncovered) <= {"B3", "E7"}
    for row in (row for column in rows.values() for row in column if allowed(row, instrument)):
        assert instrument.mechanism.holds(row.grip)


def test_a_piccolo_has_no_grip_of_the_foot_it_lacks_and_no_flute_cents() -> None:
    """Cs, C, B and Hc are missing there; its tendencies differ and are not reused."""
    rows = [row for column in grip_rows(load_instrument("piccolo")).values() for row in column]
    assert not any(row.grip.has(touch) for row in rows for touch in ("Cs", "C", "B", "Hc"))
    assert all(row.lean is None and row.modelled is None for row in rows)


def test_high_notes_of_an_alto_flute_count_as_unsure() -> None:
    """Above written G#6 its rows are of low confidence."""
    rows = grip_rows(load_instrument("alto-flute"))
    assert {row.confidence for row in rows[number("A6")]} == {"low"}
    assert "high" in {row.confidence for row in rows[number("G#6")]}


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("D6,T L2 L3 | Eb,standard", "D6,T L2 L3 | Eb,usual", ":kind"),
        ("D6,T L2 L3 | Eb,standard", "D6,L2 T L3 | Eb,standard", ":grip"),
        ("D6,T L2 L3 | Eb,standard", "D6,T L2 L9 | Eb,standard", ":grip"),
        ("D6,T L2 L3 | Eb,standard", "H6,T L2 L3 | Eb,standard", ":pitch"),
        (",sharp,tempered", ",sharpish,tempered", ":lean_word"),
        ("pitch,grip,kind", "pitch,hold,kind", ":1"),
    ],
)
def test_a_wrong_cell_is_named_by_table_row_and_column(
    old: str, new: str, place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables are read strictly: nothing is guessed."""
    text = (tables_folder() / "grips/concert-flute.csv").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "grips").mkdir()
    (tmp_path / "grips/broken.csv").write_text(text.replace(old, new), encoding="utf-8")
    monkeypatch.setattr(grips, "tables_folder", lambda: tmp_path)
    with pytest.raises(TableError) as caught:
        read_grips.__wrapped__("broken")
    assert caught.value.place.startswith("grips/broken.csv:")
    assert caught.value.place.endswith(place)


def test_a_grip_reads_the_same_from_its_text() -> None:
    """The text of each grip is canonical."""
    assert all(Grip.parse(row.grip.text) == row.grip for row in ROWS)
