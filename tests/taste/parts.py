"""Small marked parts for the tests of taste, made from lines of notes."""

from collections.abc import Mapping
from dataclasses import replace

import gripway
from gripway.asked.wishes import Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.model.grip import Grip
from gripway.model.passage import Passage, Remark
from gripway.tasks.flute_player import FlutePlayer
from gripway.taste.mark import SCORE, MarkedPart
from gripway.taste.mark_reading import Given, marked_part

PLAYER = FlutePlayer(gripway.flute())
NEAR_NOTES = 8


def part_of(
    line: str, marks: Mapping[int, str], by: str = SCORE, fingerings: Mapping[int, str] | None = None
) -> tuple[MarkedPart, GripCheck, tuple[Remark, ...]]:
    """A part from a line of notes with grips given to some (by index), and fingerings printed on others."""
    passage: Passage = gripway.notes(line, tempo=120)
    printed = fingerings or {}
    passage = replace(
        passage,
        notes=tuple(
            replace(note, fingering=(printed[place],) if place in printed else ())
            for place, note in enumerate(passage.notes)
        ),
    )
    check = PLAYER.grip_check(Wishes(player=PLAYER.player), passage.notes)
    given = {passage.notes[place].id: Given(Grip.parse(text), by) for place, text in marks.items()}
    part, remarks = marked_part("a file", passage, PLAYER.plain.knowledge, check, given, NEAR_NOTES)
    return part, check, remarks
