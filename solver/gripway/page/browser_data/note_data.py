"""Notes, changes and grips of a route as plain data for a page in the browser."""

from collections.abc import Iterable, Iterator
from typing import Any

from gripway.candidates.cents import cents_data
from gripway.catalog.tables.sources import sources
from gripway.edition.plain_grip import is_plain
from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.page.browser_data.pictures import picture
from gripway.route.loads_around import Loads
from gripway.route.result import OrnamentNote, RouteChange, RouteNote
from gripway.route.route_data import change_data
from gripway.route.words.flags import LEAN


def page_change(change: RouteChange) -> dict[str, Any]:
    """A change without the parts of its effort, and the time it needs as its load counts it."""
    data = change_data(change) | {"needed_ms": round(change.needed_ms, 1)}
    del data["parts"]
    return data


def remark_data(remark: Remark) -> dict[str, str]:
    """A remark with its place."""
    return {"text": remark.text, "bar": remark.bar, "id": remark.note_id}


def page_note(note: RouteNote) -> dict[str, Any]:
    """A note of a route as the page shows it under the music."""
    written, candidate = note.note, note.candidate
    return {
        "index": note.index,
        "id": written.id,
        "bar": written.bar,
        "pitch": written.pitch.name,
        "number": written.pitch.number,
        "onset_ms": round(written.onset_ms, 1),
        "length_ms": round(written.length_ms, 1),
        "dynamic": written.dynamic,
        "slurred": written.slurred,
        "grace": written.grace,
        "grip": candidate.grip.text if candidate else None,
        "short": candidate.grip.short if candidate else None,
        "kind": candidate.kind if candidate else None,
        "plain": is_plain(note),
        "usual": candidate is not None and candidate.usual,
        "cents": cents_data(candidate)["cents"],
        "lean": next((round(flag.cents or 0.0) for flag in note.told if flag.kind == LEAN), None),
        "trill": _trill(note),
        "needs_help": any(flag.needs_help for flag in note.told),
    }


def _trill(note: RouteNote) -> dict[str, Any] | None:
    """What a trilled note goes to and fro with: its pitch and grip, what moves, and how fast it can."""
    other = shaken_with(note)
    if other is None or other.candidate is None or note.ornament is None:
        return None
    return {
        "pitch": other.pitch.name,
        "grip": other.candidate.grip.text,
        "short": other.candidate.grip.short,
        "movers": dict(note.ornament.movers[0]) if note.ornament.movers else {},
        "notes_per_s": note.ornament.notes_per_s,
    }


def shaken_with(note: RouteNote) -> OrnamentNote | None:
    """The other note of a trill or tremolo on one written note; None where there is none."""
    ornament = note.ornament
    if ornament is None or ornament.kind not in ("trill", "tremolo"):
        return None
    written = note.note.pitch.number
    return next((each for each in ornament.notes if each.pitch.number != written), None)


def shown_grips(notes: Iterable[RouteNote]) -> Iterator[Grip]:
    """The grips the page draws of some notes: their own, and those their trills go to."""
    for note in notes:
        if note.candidate is not None:
            yield note.candidate.grip
        other = shaken_with(note)
        if other is not None and other.candidate is not None:
            yield other.candidate.grip


def whole_note(note: RouteNote) -> dict[str, Any]:
    """A note of a route with its reason and what is to be watched."""
    return page_note(note) | {"why": note.why, "flags": list(note.flags)}


def sources_in_words(keys: Iterable[str]) -> list[str]:
    """Sources as a reader knows them: author and title."""
    known = sources()
    return [f"{known[key].author}: {known[key].title}" if key in known else key for key in keys]


def stand_grip(candidate: Candidate) -> dict[str, Any]:
    """A grip with what tells it from the others of its note: its cents, and how sure it is known."""
    known = cents_data(candidate)
    return {
        "grip": candidate.grip.text,
        "short": candidate.grip.short,
        "cents": known["cents"],
        "cents_spread": known["cents_spread"],
        "confidence": candidate.confidence,
    }


def loads_data(loads: Loads) -> dict[str, float | None]:
    """The loads of the changes into and out of a note; none where there is no such change."""
    into, out = (None if load is None else round(load, 2) for load in loads)
    return {"load_into": into, "load_out": out}


def grip_data(instrument: Instrument, candidate: Candidate) -> dict[str, Any]:
    """One grip that may be chosen, with all the page shows of it."""
    said = f": {candidate.sentence}" if candidate.sentence else ""
    return {
        "grip": candidate.grip.text,
        "short": candidate.grip.short,
        "row_grip": candidate.row_grip.text,
        "kind": candidate.kind,
        **cents_data(candidate),
        "response": candidate.response,
        "lineage": candidate.lineage + said if candidate.lineage else "",
        "use": candidate.use,
        "confidence": candidate.confidence,
        "sources": sources_in_words(candidate.sources),
        "flags": [flag.replace("-", " ") for flag in candidate.flags if flag != "base"],
        "picture": picture(instrument, candidate.grip),
    }
