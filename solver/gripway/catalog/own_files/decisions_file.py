"""An editor's decisions as a file: TOML of [[decision]] tables, read strictly and written the same way."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import own_text
from gripway.catalog.own_files.place_keys import (
    MAY_BE_EMPTY,
    PlaceKeys,
    entries_of,
    entry_text,
    place_said,
    place_values,
)
from gripway.catalog.own_files.typed import Fault, faults, spelt, typed
from gripway.errors import DecisionsFileError
from gripway.model.decision import PLAIN, Decision
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, NOTHING, SEPARATORS, THUMB_WORDS, TRILL_SIGN, read_sign

MOST_DECISIONS = 5000

HEAD = """\
# Decisions of an edition: gripway finger SCORE --decisions FILE
# Each says what stands at one place: grip = "T 1 3 | 2 Eb" or grip = "plain", marked unless mark = false;
# grip = "Tb" or "T" says where the thumb goes in the standard grip, "1 | Eb tr Kd" what moves in a trill;
# mark = false alone leaves the grip open and the place unmarked. bar, beat (quarters from 1), pitch and the
# notes before and after find it again.
"""


def _grip(text: str) -> str | Grip:
    """A grip, PLAIN, or where the thumb goes."""
    if text in THUMB_WORDS:
        return text
    if text.casefold() == PLAIN:
        return PLAIN
    sign = read_sign(text) if any(each in text for each in SEPARATORS) else None
    return sign.grip if sign is not None and sign.kind == GRIP else Grip.parse(text)


_Grip: Any = spelt(
    "Write the touches pressed: T 1 3 | 2 Eb, or name the house style whose text this is: --house-style FILE",
    _grip,
)


class _Decision(PlaceKeys, frozen=True):
    grip: _Grip | None = None
    mark: bool | None = None
    reason: str = ""


NO_TEXTS: Mapping[str, str] = {}


def read_decisions(path: Path, texts: Mapping[str, str] = NO_TEXTS) -> tuple[Decision, ...]:
    """The decisions of a file, in its order; `texts` are a house's own for grips.

    Raises DecisionsFileError with file, number of the decision and key.
    """
    return decisions_of(own_text(path, DecisionsFileError), str(path), texts)


def decisions_of(text: str, path: str, texts: Mapping[str, str] = NO_TEXTS) -> tuple[Decision, ...]:
    """The same from the text of a file that is called `path`."""
    entries = entries_of(text, path, "decision", MOST_DECISIONS, DecisionsFileError)
    return tuple(_decision(here, entry, texts) for here, entry in entries)


def _decision(here: str, data: dict[str, Any], texts: Mapping[str, str]) -> Decision:
    """The decision of one table; every error names file, decision and key."""
    fault = faults(DecisionsFileError, f"{here}: ")
    moving = NOTHING
    filled = {key: value for key, value in data.items() if value != "" or key not in (*MAY_BE_EMPTY, "grip")}
    if isinstance(written := filled.get("grip"), str):
        bare = " ".join(written.strip().strip("[]()").split())
        held, trilled, moves = f" {bare}".partition(f" {TRILL_SIGN} ")
        if trilled:
            held, moving = held.strip() or PLAIN, _moving(moves, fault)
        else:
            held = bare
        filled["grip"] = texts.get(held, held)
    said = typed(filled, _Decision, fault)
    place = place_said(said, fault)
    if said.grip is None and said.mark is not False:
        raise fault("grip", "is missing", 'Write grip = "T 1 3 | 2 Eb", grip = "plain", or mark = false')
    grip = said.grip.value if said.grip else None
    plain, thumb = grip == PLAIN, grip if grip in THUMB_WORDS else ""
    if thumb and moving.mask:
        next_step = f'Write the whole grip before {TRILL_SIGN}, or grip = "plain {TRILL_SIGN} ..."'
        raise fault("grip", f"{thumb} says where the thumb goes, and not which grip is trilled", next_step)
    mark = said.grip is not None if said.mark is None else said.mark
    whole = grip if isinstance(grip, Grip) else None
    return Decision(place, whole, plain, mark, said.reason, here, thumb, moving)


def _moving(text: str, fault: Fault) -> Grip:
    """The touches that move in a trill, as they stand behind its sign."""
    try:
        found = Grip.parse(text)
    except ValueError:
        found = NOTHING
    if not found.mask:
        next_step = f"Write the touches that move, with their hand: {TRILL_SIGN} R2, {TRILL_SIGN} Kd"
        raise fault("grip", f"{TRILL_SIGN} {text.strip()} names no touches", next_step)
    return found


def decisions_text(decisions: Iterable[Decision]) -> str:
    """The text of a file of decisions; reading it gives the same decisions."""
    return "\n".join([HEAD, *(_entry(decision) for decision in decisions)])


def _entry(decision: Decision) -> str:
    decided = {
        "grip": decision.grip_text,
        "mark": None if decision.mark else False,
        "reason": decision.reason,
    }
    return entry_text("decision", place_values(decision.place) | decided)
