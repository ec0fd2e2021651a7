"""Whether the tempo that a player asks for is far from the one that is printed."""

from dataclasses import dataclass
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import ASKED, Passage, quarters_of
from gripway.model.tempo import written_beat


@dataclass(frozen=True, slots=True)
class DoubtfulGoal:
    """A goal and the tempo that is printed, in quarters a minute, with the printed mark.

    `beat` is that of the metre, in quarters; `as_beats`: the number asked for would be near the printed one
    if it counted that beat.
    """

    quarters: float
    printed: float
    mark: str
    beat: Fraction
    as_beats: bool

    @property
    def share(self) -> float:
        """The share of the printed tempo that is the goal."""
        return self.quarters / self.printed


def doubtful_goal(passage: Passage, figures: PracticeFigures) -> DoubtfulGoal | None:
    """The goal of a passage where it was asked for and lies far from what is printed; else None."""
    printed, mark = passage.printed
    tempos = sorted((tempo, at) for at, note in enumerate(passage.notes) if (tempo := quarters_of(note)))
    if passage.tempo_from[0] != ASKED or not printed or not tempos:
        return None
    quarters, at = tempos[len(tempos) // 2]
    beat = written_beat(passage.notes[at].metre)

    def is_near(tempo: float) -> bool:
        return figures.goal_least_share <= tempo / printed <= figures.goal_most_share

    if is_near(quarters):
        return None
    return DoubtfulGoal(quarters, printed, mark, beat, beat != 1 and is_near(quarters * float(beat)))
