"""A route as plain data: the documented JSON, and pandas frames for notebooks and CSV."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from gripway.candidates.cents import cents_data
from gripway.charges.charges_paid import Charges
from gripway.csv_text import flat
from gripway.display import SCHEMA, rounded
from gripway.effort.ledger import MILLI
from gripway.errors import check_frame_of
from gripway.model.pitch import plain_name
from gripway.route.curve import CurveStep
from gripway.route.other_grips import learn_data, other_grips
from gripway.route.result import LimitReport, Other, PlayedOrnament, Route, RouteChange, RouteNote
from gripway.route.words.flags import Flag
from gripway.route.words.sentence import sentence

if TYPE_CHECKING:
    import pandas as pd


def route_data(route: Route) -> dict[str, Any]:
    """The route as the JSON object that `gripway finger --format json` prints."""
    return {
        key: list(value) if isinstance(value, Iterator) else value
        for key, value in streamed_data(route).items()
    }


def streamed_data(route: Route) -> dict[str, Any]:
    """The same with notes and changes as iterators: a long part need not be held as data at once."""
    return {
        "schema": SCHEMA,
        "instrument": route.instrument,
        "status": route.status,
        "sentence": sentence(route),
        "effort": _figure(route.effort),
        "charges": charges_data(route.charges),
        "learn": [learn_data(other) for other in other_grips(route) if not other.known],
        "curve": [curve_data(step) for step in route.curve],
        "notes": map(note_data, route.notes),
        "changes": map(change_data, route.changes),
        "hardest": list(route.hardest),
        **({"limits": limits_data(route.limits)} if route.limits else {}),
        "remarks": [
            {"text": remark.text, "bar": remark.bar, "id": remark.note_id} for remark in route.passage.remarks
        ],
    }


def charges_data(charges: Charges | None) -> dict[str, float]:
    """The key `charges`: what a route pays once for its new grips and for pitches that change their grip."""
    if charges is None:
        return {"learning": 0.0, "changing": 0.0, "each": 0.0}
    return {
        "learning": _figure(charges.learning_milli / MILLI),
        "changing": _figure(charges.changing_milli / MILLI),
        "each": _figure(charges.each_milli / MILLI),
    }


def curve_data(step: CurveStep) -> dict[str, Any]:
    """One entry of `curve`."""
    return {
        "grips": len(step.grips),
        "effort": _figure(step.effort_milli / MILLI),
        "bound": _figure(step.bound_milli / MILLI),
        "worst_load": round(step.worst_load, 3),
        "places": step.places,
        "learn": [{"pitch": plain_name(pitch), "grip": grip.text} for pitch, grip in step.grips],
    }


def limits_data(report: LimitReport) -> dict[str, Any]:
    """The key `limits`, which is there when limits were asked for."""
    conflict = report.conflict
    return {
        "effort_free": _figure(report.free_milli / MILLI),
        "bound": None if conflict else _figure(report.bound_milli / MILLI),
        "proved": report.proved,
        "limits": [
            {
                "limit": use.words,
                "used": rounded(use.used),
                "of": use.of,
                "counted": use.counted,
            }
            for use in report.uses
        ],
        "conflict": None
        if conflict is None
        else {
            "limits": list(conflict.limits),
            "notes": list(conflict.notes),
            "least": [
                {"limit": each.words, "least": each.size, "least_proved": each.proved}
                for each in conflict.least
            ],
        },
    }


def note_data(note: RouteNote) -> dict[str, Any]:
    """One entry of `notes`."""
    written, candidate = note.note, note.candidate
    return {
        "index": note.index,
        "id": written.id,
        "bar": written.bar,
        "time_through": written.time_through,
        "pitch": written.pitch.name,
        "onset_ms": round(written.onset_ms, 1),
        "length_ms": round(written.length_ms, 1),
        "grip": candidate.grip.text if candidate else None,
        "touches": list(candidate.grip.touches) if candidate else [],
        "kind": candidate.kind if candidate else None,
        **cents_data(candidate),
        "lineage": candidate.lineage if candidate else "",
        "flags": list(note.flags),
        "flag_values": flag_values(note),
        "why": note.why,
        "effort": _figure(note.holding.effort),
        "parts": note.holding.as_efforts(),
        "others": [_other_data(other) for other in note.others],
        **({"ornament": ornament_data(note.ornament)} if note.ornament else {}),
    }


def flag_values(note: RouteNote) -> list[dict[str, Any]]:
    """The flags of a note as values, in their order; those without values have only their kind."""
    told = {flag.words: flag for flag in note.told}
    others = "ornament" if note.ornament else "limit"
    return [
        _flag_data(told.get(words) or Flag("no grip" if note.candidate is None else others, words))
        for words in note.flags
    ]


def _flag_data(flag: Flag) -> dict[str, Any]:
    return {
        "kind": flag.kind,
        "cents": rounded(flag.cents),
        "spread": rounded(flag.spread_cents),
        "source": flag.source,
    }


def ornament_data(played: PlayedOrnament) -> dict[str, Any]:
    """The ornament of a note: its notes with their grips, entry and exit, movers and speed."""
    entry = played.notes[0].candidate
    return {
        "kind": played.kind,
        "entry_grip": entry.grip.text if entry else None,
        "exit_grip": played.exit.grip.text if played.exit else None,
        "notes": [
            {
                "pitch": note.pitch.name,
                "grip": note.candidate.grip.text if note.candidate else None,
                **cents_data(note.candidate),
                "length_ms": rounded(note.ms),
            }
            for note in played.notes
        ],
        "movers": list(dict.fromkeys(finger for movers in played.movers for finger, _ in movers)),
        "notes_per_s": rounded(played.notes_per_s),
        "interval": played.interval,
    }


def _other_data(other: Other) -> dict[str, Any]:
    candidate = other.candidate
    return {
        "grip": candidate.grip.text,
        "kind": candidate.kind,
        **cents_data(candidate),
        "effort_more": _figure(other.effort_more),
    }


def change_data(change: RouteChange) -> dict[str, Any]:
    """One entry of `changes`."""
    return {
        "to": change.to,
        "change_ms": round(change.change_ms, 1),
        **({} if change.tables_ms is None else {"tables_ms": round(change.tables_ms, 1)}),
        "available_ms": round(change.available_ms, 1),
        "load": round(change.load, 3),
        "movers": dict(change.movers),
        "lead": change.advice.lead or None,
        "on_the_way": list(change.advice.strays),
        "effort": _figure(change.moving.effort),
        "parts": change.moving.as_efforts(),
    }


def note_frame(route: Route) -> "pd.DataFrame":
    """The notes as a pandas frame, one row a note; lists become text.

    Its columns are the keys of `notes` in the JSON (`gripway schema finger --format text` says what each
    holds): onset and length in ms, cents from equal temperament. `effort` and `parts` are those of holding
    the note's grip only; moving into it is in `change_frame`, and `ledger_frame` has both and the charges,
    which add up to the route's effort. The last column, `usual`, is false where the note leaves its standard
    grip (the three B-flats are usual), as limits count it. `index` counts from 0, while a number in the text
    of a pin counts from 1: pin by `id` (`pins="n3=..."`). A note without a grip has none in `grip` and
    `usual`.

    >>> import gripway
    >>> gripway.note_frame(gripway.finger(gripway.notes("E6 A6"), gripway.flute()))["grip"].tolist()
    ['T L1 L2 | R1 R2 Eb', 'T L2 | R1 Eb']
    """
    import pandas as pd

    check_frame_of(route, Route, "finger(...)")
    frame = pd.DataFrame(rows := note_rows(route))
    if not rows:
        return frame
    usual = [note.candidate.usual if note.candidate else None for note in route.notes]
    return frame.astype({"index": "int64"}).assign(usual=pd.array(usual, dtype="boolean"))


def note_rows(route: Route) -> list[dict[str, Any]]:
    """The notes as plain rows; lists are text."""
    return [_note_row(note) for note in route.notes]


def _note_row(note: RouteNote) -> dict[str, Any]:
    """A note with its lists as text; of an ornament its notes with their grips."""
    data = note_data(note)
    row = {key: _cell(value) for key, value in data.items() if key not in ("ornament", "flag_values")}
    if note.ornament is None:
        return row
    played = ornament_data(note.ornament)
    notes = "; ".join(f"{each['pitch']} {each['grip'] or 'no grip'}" for each in played["notes"])
    return row | {"ornament": f"{played['kind']}: {notes}"}


def _cell(value: Any) -> Any:
    """A value of a note as one cell of a table; of its runners-up the grip, and what it takes more."""
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "; ".join(f"{item['grip']} (+{item['effort_more']:g})" for item in value)
    return flat(value)


def _figure(value: float) -> float:
    return round(value, 3)
