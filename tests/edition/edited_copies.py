"""An edited copy of a part, and how many decisions find their places in it.

    python -m tests.edition.edited_copies SCORE...

200 decisions at notes chosen with a fixed seed; then one bar more at the front and ten notes changed by
up to a tone and a half. A decision whose own note was changed cannot be kept.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

from gripway.edition.places.decided_places import find_places, place_of
from gripway.model.decision import Decision
from gripway.model.figures import first_times
from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.tasks.scores import read

DECISIONS, CHANGED = 200, 10


@dataclass(frozen=True)
class Kept:
    """How many decisions stand at their own note again, how many at another, how many are listed.

    `changed` are those on a note that was itself changed, which have no place any more.
    """

    right: int
    wrong: int
    listed: int
    changed: int


def written(notes: Sequence[Note]) -> list[Note]:
    """Every written note once."""
    return [notes[place] for place in first_times(notes)]


def edited(notes: Sequence[Note], random: Random) -> list[Note]:
    """The same notes after a bar was put in at the front, ten of them changed; ids tell which is which."""
    changed = set(random.sample(range(len(notes)), CHANGED))
    first = notes[0]
    front = [replace(first, id=f"new-{k}", pitch=Pitch.from_number(72 + k)) for k in range(4)]
    later = [
        replace(
            note,
            bar=str(int(note.bar) + 1) if note.bar.isdecimal() else note.bar,
            pitch=Pitch.from_number(note.pitch.number + random.choice((-3, -2, -1, 1, 2, 3)))
            if place in changed
            else note.pitch,
        )
        for place, note in enumerate(notes)
    ]
    return [*front, *later]


def kept(notes: Sequence[Note], seed: int) -> Kept:
    """What becomes of 200 decisions."""
    random = Random(seed)
    chosen = sorted(random.sample(range(len(notes)), min(DECISIONS, len(notes))))
    decisions = [Decision(place_of(notes, index, ""), plain=True) for index in chosen]
    home = {decision: notes[index].id for decision, index in zip(decisions, chosen, strict=True)}
    later = edited(notes, random)
    found = find_places(decisions, later)
    right = sum(home[decision] == name for name, decision in found.by_note.items())
    pitches = {note.id: note.pitch for note in later}
    changed = sum(pitches[name] != decision.place.pitch for decision, name in home.items())
    return Kept(right, len(found.by_note) - right, len(found.lost), changed)


def main(scores: list[str]) -> None:
    """Print a line a score: decisions at their place, at another, listed."""
    print("right", "wrong", "listed", "own note changed", sep="\t")
    for score in scores:
        of = kept(written(read(score).passage.notes), 12)
        print(of.right, of.wrong, of.listed, of.changed, score, sep="\t", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
