"""A taste as data, in the keys of its JSON (tables/answers/taste.json)."""

from typing import Any

from gripway.catalog.tables.effort_figures import EffortTables, effort_tables
from gripway.model.pitch import plain_name
from gripway.taste.mark import Place
from gripway.taste.taste import Taste
from gripway.taste.taste_sentence import sentence

LEARNING = "learning"


def taste_data(taste: Taste, *, wrote: bool = False) -> dict[str, Any]:
    """The JSON object of a taste; `wrote` says whether it was put into the player's file."""
    held = taste.held_out
    return {
        "sentence": sentence(taste),
        "status": taste.status,
        "wrote": wrote,
        "marks": taste.marks,
        "parts": taste.parts,
        "unmarked": taste.quiet,
        "dials": [{"dial": dial.name, "now": dial.now, "found": dial.found} for dial in taste.dials],
        "charges": [
            {"charge": name, "now": now, "found": found}
            for name, now, found in charges_of(taste, effort_tables())
        ],
        "known": [
            {"pitch": plain_name(each.pitch), "grip": each.grip.text, "marks": each.marks}
            for each in taste.known
        ],
        "right": taste.right,
        "right_now": taste.right_now,
        "held_out": held
        and {
            "marks": held.marks,
            "right": held.right,
            "right_now": held.right_now,
            "gained": held.gained,
            "lost": held.lost,
            "chance_share": round(held.chance_share, 4),
            "folds": held.folds,
            "by": held.by,
        },
        "missed": [
            _place(each.place) | {"gets": each.gets.text if each.gets else None, "ever": each.ever}
            for each in taste.missed
        ],
        "contradictions": [
            _place(each.here) | {"before": _place(each.before)} for each in taste.contradictions
        ],
    }


def charges_of(taste: Taste, tables: EffortTables) -> list[tuple[str, float, float]]:
    """What the dial of learning charges (effort), as it stands and as found: for a new grip, for a return."""
    dial = next(each for each in taste.dials if each.name == LEARNING)
    figures = tables.figures
    each = (("new grip", figures.learning_charge_effort), ("return", figures.return_charge_effort))
    return [(name, round(dial.now * effort, 3), round(dial.found * effort, 3)) for name, effort in each]


def _place(place: Place) -> dict[str, str]:
    return {
        "file": place.file,
        "part": place.part,
        "bar": place.bar,
        "pitch": place.note,
        "id": place.id,
        "grip": place.grip.text,
    }
