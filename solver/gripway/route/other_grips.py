"""The grips of a route that are neither standard nor one of the three B-flats: to learn, or known."""

from dataclasses import dataclass
from typing import Any

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.charges.charges_paid import Learnt
from gripway.display import rounded
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.grip import Grip
from gripway.route.result import Route, RouteNote


@dataclass(frozen=True, slots=True)
class OtherGrip:
    """One grip of one pitch with the notes that have it (at least one).

    `known` says that the player has it in the fingers. `saves_milli` and `steady` are those of
    `Learnt`, None where they are not known: for known grips, and under limits.
    """

    notes: tuple[RouteNote, ...]
    candidate: Candidate
    known: bool
    saves_milli: int | None = None
    steady: float | None = None

    @property
    def pitch(self) -> str:
        """The name of the pitch, as its first note is spelt."""
        return self.notes[0].note.pitch.name

    @property
    def grip(self) -> Grip:
        """The grip of the tables, whatever free fingers its notes hold."""
        return self.candidate.row_grip


def other_grips(route: Route) -> tuple[OtherGrip, ...]:
    """The unusual grips of a route: those to learn first, the one that saves most before the others."""
    notes: dict[tuple[int, int], list[RouteNote]] = {}
    for note in route.notes:
        if note.candidate is not None and not note.candidate.usual:
            notes.setdefault((note.note.pitch.number, note.candidate.row_grip.mask), []).append(note)
    learnt = {(each.pitch, each.grip.mask): each for each in route.charges.learn} if route.charges else {}
    found = [_other(tuple(same), learnt.get(key)) for key, same in notes.items()]
    return tuple(sorted(found, key=lambda other: (other.known, -(other.saves_milli or 0), -len(other.notes))))


def _other(notes: tuple[RouteNote, ...], learnt: Learnt | None) -> OtherGrip:
    candidate = notes[0].candidate
    assert candidate is not None  # noqa: S101 - only notes with a grip are gathered
    known = candidate.case == "standard"
    if learnt is None:
        return OtherGrip(notes, candidate, known)
    return OtherGrip(notes, candidate, known, learnt.saves_milli, learnt.steady)


def pays_in(steady: float | None) -> str:
    """In how many of the shaken tables a grip pays: `7 of 8`; empty where it is not known."""
    if steady is None:
        return ""
    draws = effort_tables().shaking.shake_draws
    return f"{round(steady * draws)} of {draws}"


def learn_data(other: OtherGrip) -> dict[str, Any]:
    """One entry of `learn`."""
    tendency = other.candidate.tendency
    return {
        "pitch": other.pitch,
        "grip": other.grip.text,
        "kind": other.candidate.kind,
        "places": [{"bar": note.note.bar, "index": note.index} for note in other.notes],
        "saves": None if other.saves_milli is None else round(other.saves_milli / MILLI, 3),
        "cents": rounded(tendency.cents),
        "cents_spread": rounded(tendency.spread_cents),
        "steady": other.steady,
    }
