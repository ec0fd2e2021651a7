"""Simulated teachers: what is learnt from some of their marks, tried on the others and on all their notes.

    python -m tests.taste.teachers [SCORE...] [--bars 1-120] [--marks 20,60] [--seeds 2] [--teacher NAME]...

A teacher plays the parts with dials (and known grips) of their own. Marks are notes whose grip is not the
standard one, or not that of the default dials; some of them, drawn by a seed, are learnt from, the others are
held out. Without scores it takes the parts of tests/data. Prints a table: of the held-out marks and of all
notes, how many the default and what was learnt give as the teacher does.
"""

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import gripway
from gripway.asked.wishes import Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.taste_figures import taste_figures
from gripway.model.figures import first_times
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.tasks.flute_player import FlutePlayer
from gripway.taste.agreement import Agreement, Rows
from gripway.taste.dial_settings import Dials
from gripway.taste.mark import SCORE, MarkedPart
from gripway.taste.mark_reading import Given, marked_part
from gripway.taste.taste import Taste, taste_of

DATA = Path(__file__).resolve().parents[1] / "data"
PARTS = (DATA / "boulanger_matin_flute.musicxml", DATA / "schubert_d485_flute.musicxml")


@dataclass(frozen=True)
class Teacher:
    """Dials of a teacher that are not 1, grips they always use, and the share of marks that are slips."""

    dials: tuple[tuple[str, float], ...] = ()
    known: tuple[tuple[str, str], ...] = ()
    slips: float = 0.0

    @property
    def player(self) -> Player:
        """The teacher as a player."""
        return Player(dials=self.dials, known=self.known)


TEACHERS = {
    "default": Teacher(),
    "default, 1 in 10 slips": Teacher(slips=0.1),
    "tuning 2": Teacher((("tuning", 2.0),)),
    "steadiness 2": Teacher((("steadiness", 2.0),)),
    "learning 0.4": Teacher((("learning", 0.4),)),
    "tuning 2, speed 0.5": Teacher((("tuning", 2.0), ("speed", 0.5))),
    "tuning 0.5, steadiness 2, learning 0.5": Teacher(
        (("tuning", 0.5), ("steadiness", 2.0), ("learning", 0.5))
    ),
    "steadiness 2, 1 in 10 slips": Teacher((("steadiness", 2.0),), slips=0.1),
    "F#6 always T 1 3 | 2 Eb": Teacher(known=(("F#6", "T 1 3 | 2 Eb"),)),
}


@dataclass(frozen=True)
class Trial:
    """What one teacher's marks gave: shares of the held-out marks and of all notes, before and after."""

    teacher: str
    seed: int
    marks: int
    taste: Taste
    held: int
    held_now: float
    held_found: float
    all_now: float
    all_found: float

    @property
    def row(self) -> str:
        """The trial as a row of the table."""
        moved = [f"{dial.name} {dial.found:g}" for dial in self.taste.dials if dial.found != dial.now]
        moved += [f"{gripway.Pitch.from_number(each.pitch).name} known" for each in self.taste.known]
        return (
            f"{self.teacher:<40}{self.seed:>3}{self.marks:>6}{self.held:>6}{self.held_now:>8.3f}"
            f"{self.held_found:>8.3f}{self.all_now:>9.4f}{self.all_found:>9.4f}  {', '.join(moved) or '-'}"
        )


HEAD = (
    f"{'teacher':<40}{'':>3}{'marks':>6}{'held':>6}{'now':>8}{'found':>8}{'all now':>9}{'found':>9}  learnt"
)


class School:
    """Passages that teachers play, on a concert flute; what was worked out for one serves the next."""

    def __init__(self, passages: Sequence[Passage]) -> None:
        self.passages = tuple(passages)
        self.mine = FlutePlayer(gripway.flute(), PLAIN_PLAYER)
        self.names = tuple(effort_tables().dials)
        self.plain: Dials = tuple(dial.default for dial in effort_tables().dials.values())
        self.default = self.played(PLAIN_PLAYER)

    def played(self, player: Player) -> tuple[Rows, ...]:
        """The row of the tables that every note gets, part by part."""
        knowledge = replace(self.mine.plain.knowledge, player=replace(player, dials=()))
        parts = [MarkedPart("", "", passage, knowledge, ()) for passage in self.passages]
        asked = dict(player.dials)
        dials = tuple(asked.get(name, value) for name, value in zip(self.names, self.plain, strict=True))
        return Agreement(parts, (), self.names).rows(dials)

    def check(self, passage: Passage) -> GripCheck:
        """What looks up grips of a passage."""
        return self.mine.grip_check(Wishes(player=PLAIN_PLAYER), passage.notes)

    def marks_of(self, played: Sequence[Rows]) -> list[tuple[int, int]]:
        """The notes (part, index) such a teacher would mark."""
        found = []
        for number, (passage, rows) in enumerate(zip(self.passages, played, strict=True)):
            for index in first_times(passage.notes):
                standard = self.mine.plain.book.standard_row(passage.notes[index].pitch.number)
                row = rows.get(index)
                plain = standard is not None and row == standard.grip.mask
                if row is not None and not (plain and row == self.default[number].get(index)):
                    found.append((number, index))
        return found

    def trial(self, name: str, teacher: Teacher, marks: int, seed: int) -> Trial:
        """What so many marks of a teacher give."""
        chance = random.Random(f"{name} {seed}")
        played = self.played(teacher.player)
        known = self.marks_of(played)
        drawn = chance.sample(known, len(known))
        shown, held = sorted(drawn[:marks]), drawn[marks:]
        taste = self.learnt(played, shown, known, teacher.slips, chance)
        dials = tuple((dial.name, dial.found) for dial in taste.dials)
        grips = frozenset((each.pitch, each.grip) for each in taste.known)
        found = self.played(Player(dials=dials, known=grips))
        notes = [(number, index) for number, rows in enumerate(played) for index in rows]
        return Trial(
            teacher=name,
            seed=seed,
            marks=len(shown),
            taste=taste,
            held=len(held),
            held_now=_share(self.default, played, held),
            held_found=_share(found, played, held),
            all_now=_share(self.default, played, notes),
            all_found=_share(found, played, notes),
        )

    def learnt(
        self,
        played: Sequence[Rows],
        shown: Sequence[tuple[int, int]],
        known: Sequence[tuple[int, int]],
        slips: float,
        chance: random.Random,
    ) -> Taste:
        """What is learnt from the marks that are shown; the others are neither marked nor plain."""
        given: list[dict[str, Given]] = [{} for _ in self.passages]
        for number, index in shown:
            note = self.passages[number].notes[index]
            grip = Grip(played[number][index])
            if chance.random() < slips:
                grip = chance.choice([row.grip for row in self.mine.plain.book.usable(note.pitch.number)])
            given[number][note.id] = Given(grip, SCORE)
        checks = [self.check(passage) for passage in self.passages]
        hidden = set(known)
        parts = []
        for number, (passage, check) in enumerate(zip(self.passages, checks, strict=True)):
            part, _ = marked_part(
                str(number),
                passage,
                self.mine.plain.knowledge,
                check,
                given[number],
                taste_figures().near_notes,
            )
            quiet = tuple(each for each in part.quiet if (number, each.index) not in hidden)
            parts.append(replace(part, quiet=quiet))
        return taste_of(parts, checks, effort_tables(), taste_figures())


def _share(found: Sequence[Rows], played: Sequence[Rows], notes: Sequence[tuple[int, int]]) -> float:
    """The share of notes (part, index) with the teacher's grip."""
    right = sum(found[number].get(index) == played[number][index] for number, index in notes)
    return right / len(notes) if notes else 1.0


def main() -> Iterator[str]:
    """The rows of the table, each when it is worked out."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("scores", nargs="*", type=Path, default=PARTS)
    parser.add_argument("--bars")
    parser.add_argument("--marks", default="20,60")
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--teacher", action="append", choices=TEACHERS)
    asked = parser.parse_args()
    passages = [gripway.read(path, bars=asked.bars).passage for path in asked.scores]
    school = School(
        [
            replace(passage, notes=tuple(replace(n, fingering=()) for n in passage.notes))
            for passage in passages
        ]
    )
    yield f"{sum(len(passage.notes) for passage in passages)} notes in {len(passages)} parts"
    yield HEAD
    for name in asked.teacher or TEACHERS:
        for marks in map(int, asked.marks.split(",")):
            for seed in range(asked.seeds):
                yield school.trial(name, TEACHERS[name], marks, seed).row


if __name__ == "__main__":
    for line in main():
        print(line, flush=True)
