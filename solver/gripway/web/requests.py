"""The questions the page asks about a work, each from its body to its answer."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from msgspec import field
from starlette.responses import Response

from gripway.catalog.own_files.typed import Table
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.errors import RequestError
from gripway.model.figures import figures_by_id
from gripway.page.browser_data.note_data import grip_data, loads_data, whole_note
from gripway.page.browser_data.pictures import picture
from gripway.page.browser_data.sheet_data import chunk_data, page_chunks
from gripway.route.result import Route
from gripway.tasks.flutes import flute
from gripway.web.answers import barred_data, compared, curve_answer, route_answer
from gripway.web.asking import Request, SpeltPitch, asked_of, request_of
from gripway.web.downloads import KINDS, download
from gripway.web.opening import opened
from gripway.web.player_files import decisions
from gripway.web.practice_day import practice_day
from gripway.web.replies import answer
from gripway.web.turns import CURVE, ENGRAVING, PINS, ROUTE, Turn
from gripway.web.work import OpenWork

Task = Callable[[OpenWork, Any, Turn], Response]


class _Route(Request, frozen=True):
    since: Any = None
    at_once: bool = False


class _Engraving(Request, frozen=True):
    width_mm: float = 180.0
    chunk: int = 0


MOST_TOLD = 40
"""Pins whose effort is told in their list: each is a search (judgement)."""


class _NoteRequest(Request, frozen=True):
    index: int = -1


class _Same(Request, frozen=True):
    note: str = ""


class _Compare(Table, frozen=True):
    wishes_a: dict[str, Any] = field(default_factory=dict)
    wishes_b: dict[str, Any] = field(default_factory=dict)


class _Trill(Request, frozen=True, kw_only=True):
    low: SpeltPitch
    high: SpeltPitch


def look(work: OpenWork, body: Any, _turn: Turn) -> Response:
    """Parts, bars and tempo under the wishes, as on opening."""
    asked = asked_of(request_of(body, Request, "look").wishes)
    return answer(opened("", work, asked))


def route(work: OpenWork, body: Any, turn: Turn) -> Response:
    """The route; with `since` only what differs from the answer of that number.

    With `at_once` it may be a `first` one, of a long part, after which the least one is to be asked for.
    """
    request = request_of(body, _Route, "route")
    asked = asked_of(request.wishes)
    now, before = work.answer(asked, turn, at_once=request.at_once)
    known = before if before is not None and request.since == before.revision else None
    return answer(route_answer(now, known))


def curve(work: OpenWork, body: Any, turn: Turn) -> Response:
    """The learning curve, with its drawing, whose points can be chosen; no points within limits."""
    asked = asked_of(request_of(body, Request, "curve").wishes)
    return answer(curve_answer(*work.curve(asked, turn)))


def engraving(work: OpenWork, body: Any, _turn: Turn) -> Response:
    """A chunk of the chosen part and bars as drawings; the same for all grips, so kept."""
    request = request_of(body, _Engraving, "engraving")
    asked = asked_of(request.wishes)
    width = float(round(min(600.0, max(60.0, request.width_mm))))
    reading = work.reading(asked)
    chunks = work.chunks.get_or((asked.part, asked.bars), lambda: page_chunks(reading, asked.bars))
    if not 0 <= request.chunk < len(chunks):
        raise RequestError("there is no such piece of the music", place="chunk")
    key = (asked.part, asked.bars, width, request.chunk)
    return work.drawn.get_or(
        key, lambda: answer(chunk_data(chunks, request.chunk, reading.source.name, width))
    )


def note(work: OpenWork, body: Any, turn: Turn) -> Response:
    """All grips of one note: what each would take more, how it sounds, why it is or is not taken.

    `pin_takes` is by how much its pin raises the effort of the whole passage, as both are shown.
    """
    request = request_of(body, _NoteRequest, "note")
    asked = asked_of(request.wishes)
    chosen = work.route(asked, turn)
    _check_note(chosen, request.index)
    here = work.explained(asked, chosen, request.index, turn)
    pinned = {pin.note: pin.grip for pin in work.wishes(asked).pins}.get(here.note.id)
    free = work.route(asked, turn, without_pin=here.note.id) if pinned else chosen
    free_here = work.explained(asked, free, here.index, turn) if pinned else here
    instrument, _ = work.instrument(asked)
    around = work.loads(asked, chosen, turn)
    first = [(free_here.candidate, 0.0)] if free_here.candidate else []
    grips = [
        grip_data(instrument, candidate)
        | {"effort_more": round(more, 3)}
        | loads_data(around(here.index, candidate))
        for candidate, more in [*first, *((other.candidate, other.effort_more) for other in free_here.others)]
    ]
    for entry in grips:
        entry["chosen"] = here.candidate is not None and entry["grip"] == here.candidate.grip.text
        entry["pinned"] = pinned is not None and entry["grip"] == pinned.text
    banned = {ban.grip.text for ban in asked.bans if ban.grip and ban.pitch == here.note.pitch.number}
    shown = {entry["grip"] for entry in grips} | {entry["row_grip"] for entry in grips}
    why_not = "not within the limits while the other notes stay" if free.limits else ""
    why_not = why_not or ("another grip to learn than those you asked for" if asked.learn is not None else "")
    return answer(
        {
            "note": whole_note(here),
            "pinned": pinned.text if pinned else None,
            "pin_takes": _takes_more(chosen, free),
            "grips": grips,
            "barred": barred_data(instrument, here.note.pitch, shown, banned, why_not),
            "times": [other.index for other in chosen.notes if other.note.id == here.note.id],
        }
    )


def pins(work: OpenWork, body: Any, turn: Turn) -> Response:
    """By how much each of the first pins raises the effort of the whole passage, by the id of its note."""
    asked = asked_of(request_of(body, Request, "pins").wishes)
    chosen = work.route(asked, turn)
    takes: dict[str, float] = {}
    for pin in work.wishes(asked).pins[:MOST_TOLD]:
        turn.pulse()
        note_id = str(pin.note)
        takes[note_id] = _takes_more(chosen, work.route(asked, turn, without_pin=note_id))
    work.route(asked, turn)  # what is asked of a note next is asked of this route
    return answer({"takes": takes})


def _takes_more(chosen: Route, free: Route) -> float:
    """By how much a route takes more effort than one without a pin, as both are shown."""
    return round(round(chosen.effort, 2) - round(free.effort, 2), 2)


def _check_note(chosen: Route, index: int) -> None:
    if not 0 <= index < len(chosen.notes):
        raise RequestError("there is no such note", place="index")


def same(work: OpenWork, body: Any, _turn: Turn) -> Response:
    """The notes of the chosen bars that have the same figure as a note, itself among them."""
    request = request_of(body, _Same, "same")
    passage = work.reading(asked_of(request.wishes)).passage
    about = figures_by_id(passage.notes, effort_tables().figures.figure_tempo_factor)
    if request.note not in about:
        raise RequestError("there is no such note", place="note")
    return answer({"notes": [name for name, figure in about.items() if figure == about[request.note]]})


def compare(work: OpenWork, body: Any, turn: Turn) -> Response:
    """Two sets of wishes for the same part, bars and tempo, note by note."""
    request = request_of(body, _Compare, "compare")
    first, second = asked_of(request.wishes_a), asked_of(request.wishes_b)
    same = replace(
        first,
        part=second.part,
        bars=second.bars,
        tempo=second.tempo,
        tempo_percent=second.tempo_percent,
    )
    return answer(compared(work.route(same, turn), work.route(second, turn)))


def take_away(kind: str) -> Task:
    """The task that gives one kind of file."""

    def give(work: OpenWork, body: Any, turn: Turn) -> Response:
        asked = asked_of(request_of(body, Request, "download").wishes)
        return download(kind, work, asked, work.full_route(asked, turn))

    return give


def stop(_work: OpenWork, _body: Any, _turn: Turn) -> Response:
    """Nothing is left to do: whoever takes this task has stopped the others already."""
    return answer({})


TASKS: dict[str, Task] = {
    ROUTE: route,
    "look": look,
    ENGRAVING: engraving,
    "note": note,
    CURVE: curve,
    PINS: pins,
    "same": same,
    "compare": compare,
    "decisions": decisions,
    "practice": practice_day,
    "stop": stop,
    **{f"download/{kind}": take_away(kind) for kind in KINDS},
}


def trill_answer(body: Any) -> Response:
    """The pairs of grips for a trill or tremolo, best first, with their diagrams."""
    from gripway.model.grip import Grip
    from gripway.tasks.trill_lists import trill
    from gripway.trills.trill_list import trill_list_data

    request = request_of(body, _Trill, "trill")
    asked = asked_of(request.wishes)
    instrument = flute(asked.flute or "concert-flute", asked.parts)
    data = trill_list_data(trill(request.low.value, request.high.value, instrument, asked.player))
    data["sounds_semitones"] = instrument.sounds_semitones
    for pair in data["pairs"]:
        for side in ("lower", "upper"):
            grip = Grip.parse(pair[f"{side}_grip"])
            pair[f"{side}_short"] = grip.short
            pair[f"{side}_picture"] = picture(instrument, grip)
    return answer(data)
