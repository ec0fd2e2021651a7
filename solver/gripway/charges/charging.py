"""What a passage charges and how much: for new grips, and for pitches that return with another grip.

A pitch returns at a note when it stood a few notes before; pairs of such notes are charged when their
grips come from different rows of the tables. `return_pairs` says which notes are no part of a pair.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.charges.charges_paid import Charges, Learnt
from gripway.charges.joined_network import joined, new_key
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.ledger import MILLI
from gripway.model.passage import Note
from gripway.trellis.constrained_network import ConstrainedNetwork, Key
from gripway.trellis.trellis import Trellis


@dataclass(frozen=True, slots=True)
class Charging:
    """What a passage charges: for each new grip, and for each pair of notes in which a pitch changes grip.

    `pairs` are indices of notes. Grips (pitch, touches of the table's row) in `left_out` are not taken.
    """

    grip_milli: int = 0
    return_milli: int = 0
    pairs: tuple[tuple[int, int], ...] = ()
    left_out: frozenset[Key] = frozenset()

    def added_to(self, network: ConstrainedNetwork) -> ConstrainedNetwork:
        """A network with these charges, without the grips left out where it has others."""
        less = network.only(network.elsewhere(self.left_out)) if self.left_out else network
        where = {place: p for p, place in enumerate(network.places)}
        return replace(
            less,
            charge_milli=self.grip_milli,
            returns=tuple((where[a], where[b]) for a, b in self.pairs if a in where and b in where),
            return_milli=self.return_milli,
        )

    def paid(self, chosen: Mapping[int, Candidate], bound_milli: int) -> Charges:
        """What these grips of notes (by index) pay; what each new one saves is not known."""
        new = {key: c for c in chosen.values() if (key := new_key(c)) is not None}
        changed = [
            (a, b)
            for a, b in self.pairs
            if a in chosen and b in chosen and chosen[a].row_grip != chosen[b].row_grip
        ]
        learn = [Learnt(c.pitch, c.row_grip, c.kind, None, None) for _, c in sorted(new.items())]
        return Charges(tuple(learn), (), self.grip_milli, tuple(changed), self.return_milli, bound_milli)


NO_CHARGES = Charging()


def charged_network(trellises: Sequence[Trellis], charging: Charging) -> ConstrainedNetwork:
    """The network of all trellises with what the passage charges."""
    return charging.added_to(joined(trellises))


def return_pairs(notes: Sequence[Note], near: int, several: Collection[int]) -> tuple[tuple[int, int], ...]:
    """Pairs of notes at most `near` apart in which a pitch returns; the next note is no return.

    The notes of a tremolo have grips for their pair and are none, nor are pitches with `several`
    standard grips: a held E6 without Eb and passing ones with it are as they should be.
    """
    last: dict[int, int] = {}
    pairs = []
    for place, note in enumerate(notes):
        pitch = note.pitch.number
        if pitch in several:
            continue
        if note.ornament is not None and note.ornament.kind == "tremolo":
            last.pop(pitch, None)
            continue
        if pitch in last and 1 < place - last[pitch] <= near:
            pairs.append((last[pitch], place))
        last[pitch] = place
    return tuple(pairs)


def charge_of(notes: int, model: EffortModel) -> int:
    """Thousandths of an effort that a new grip costs a passage of so many notes."""
    figures = model.figures
    share = min(1.0, notes / figures.learning_notes)
    return round(model.dials["learning"] * figures.learning_charge_effort * MILLI * share)


def return_charge_of(model: EffortModel) -> int:
    """Thousandths of an effort that a pitch costs which returns with another grip."""
    return round(model.dials["return"] * model.figures.return_charge_effort * MILLI)
