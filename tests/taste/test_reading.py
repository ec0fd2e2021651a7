"""What is read from a part: its marks, and the notes without one that say something."""

from tests.taste.parts import part_of

from gripway.taste.mark import PIN, SCORE

F_SHARP = "T L1 L3 | R2 Eb"


def test_a_printed_grip_is_a_mark_and_a_pin_wins_over_it() -> None:
    """A fingering in the score counts; what is pinned on the same note counts in its place."""
    part, _, _ = part_of("E6 F#6 G6 F#6", {3: F_SHARP}, PIN, {1: "T 1 3 | 2 Eb", 3: "T 1 3 | 3 Eb"})
    assert [(mark.index, mark.grip.text, mark.by) for mark in part.marks] == [
        (1, F_SHARP, SCORE),
        (3, F_SHARP, PIN),
    ]
    assert all(mark.rows == {mark.grip.mask} for mark in part.marks)


def test_fingers_held_without_need_make_no_difference() -> None:
    """A5 with the side lever down, which opens no needed hole, is its standard row."""
    part, check, _ = part_of("A5 B5 A5", {0: "T L1 L2 | Sb Eb"})
    (mark,) = part.marks
    standard = check.standard(81)  # A5 is note number 81
    assert standard is not None
    assert mark.rows == {standard.mask}


def test_a_grip_of_another_note_is_left_out_with_its_place() -> None:
    """No guess: the remark names the note and a next step, the mark does not count."""
    part, _, remarks = part_of("E6 F#6 G6", {1: "L2 | R1"})
    assert part.marks == ()
    (remark,) = remarks
    assert "F#6" in remark.text
    assert remark.note_id == part.passage.notes[1].id
    assert "gripway grips F#6" in remark.text


def test_a_thumb_put_on_its_lever_counts_for_the_b_flats_until_it_is_taken_off() -> None:
    """Tb at a note before: both B-flats after it are played with it, the one after T is not told."""
    part, _, _ = part_of("G5 A5 Bb5 A5 Bb5 C6 Bb5", {}, fingerings={1: "Tb", 5: "T"})
    assert [(mark.index, mark.grip.has("Tb")) for mark in part.marks] == [(2, True), (4, True)]


def test_a_note_without_a_mark_near_one_is_weak_evidence_of_the_plain_grip() -> None:
    """Where marks are printed: not far from a mark, not in a marked figure, not repeated, no B-flat."""
    line = "E6 F#6 G6 " + "A5 B5 Bb5 C6 C6 D6 " * 4 + "E6 F#6 G6"
    part, check, _ = part_of(line, {}, fingerings={1: "T 1 3 | 2 Eb"})
    quiet = {each.index: each for each in part.quiet}
    names = [part.passage.notes[index].pitch.name for index in quiet]
    assert min(quiet) == 0
    assert max(quiet) == 9  # eight notes after the mark
    assert "Bb5" not in names
    assert names.count("C6") == 1  # the second of two is played as the first
    standard = check.standard(88)  # E6
    assert standard is not None
    assert standard.mask in quiet[0].rows


def test_where_grips_are_pinned_an_unmarked_note_is_evidence_of_what_was_shown() -> None:
    """Its rows are left empty: the dials as they stand say what whoever pinned others saw there."""
    part, _, _ = part_of("E6 F#6 G6 A6", {1: F_SHARP}, PIN)
    assert part.quiet
    assert all(not each.rows for each in part.quiet)
