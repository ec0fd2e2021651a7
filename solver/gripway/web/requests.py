"""The questions the page asks about a work, each from its body to its answer."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from starlette.responses import Response

from gripway.errors import RequestError
from gripway.model.pitch import Pitch
from gripway.route.result import Route, RouteNote
from gripway.tasks.flutes import flute
from gripway.web.answers import barred_data, compared, curve_answer, grip_data, route_answer, whole_note
from gripway.web.asking import Asked, asked_of, keys_of, number_of, pitch_of
from gripway.web.downloads import KINDS, download
from gripway.web.opening import opened
from gripway.web.pictures import picture
from gripway.web.replies import answer
from gripway.web.sheets import sheet_data
from gripway.web.turns import CURVE, ROUTE, Turn
from gripway.web.work import Work

Task = Callable[[Work, Any, Turn], Response]
MOST_GRIPS = 40


def look(work: Work, body: Any, _turn: Turn) -> Response:
    """Parts, bars and tempo under the wishes, as on opening."""
    asked = asked_of(keys_of(body, ("wishes",), "look").get("wishes", {}))
    return answer(opened("", work, asked))


def route(work: Work, body: Any, turn: Turn) -> Response:
    """The route; with `since` only what differs from the answer of that number."""
    request = keys_of(body, ("wishes", "since"), "route")
    asked = asked_of(request.get("wishes", {}))
    now, before = work.answer(asked, turn)
    since = request.get("since")
    known = before if before is not None and since == before.revision else None
    return answer(route_answer(now, known))


def curve(work: Work, body: Any, turn: Turn) -> Response:
    """The learning curve, with its drawing, whose points can be chosen; no points within limits."""
    asked = asked_of(keys_of(body, ("wishes",), "curve").get("wishes", {}))
    return answer(curve_answer(*work.curve(asked, turn)))


def engraving(work: Work, body: Any, _turn: Turn) -> Response:
    """The chosen part and bars as drawings; the same for all grips, so kept."""
    request = keys_of(body, ("wishes", "width_mm"), "engraving")
    asked = asked_of(request.get("wishes", {}))
    width = float(round(min(600.0, max(60.0, number_of(request.get("width_mm", 180), "width_mm")))))
    reading = work.reading(asked)
    key = (asked.part, asked.bars, width)
    return answer(work.drawn.get_or(key, lambda: sheet_data(reading, asked.bars, width)))


def note(work: Work, body: Any, turn: Turn) -> Response:
    """All grips of one note: what each would take more, how it sounds, why it is or is not taken."""
    request = keys_of(body, ("wishes", "index"), "note")
    asked = asked_of(request.get("wishes", {}))
    chosen = work.route(asked, turn)
    here = _note_at(chosen, request.get("index"))
    pinned = {pin.note: pin.grip for pin in work.wishes(asked).pins}.get(here.note.id)
    free = work.route(asked, turn, without_pin=here.note.id) if pinned else chosen
    free_here = free.notes[here.index]
    others = free_here.others if free.limits else work.others(asked, here.index, MOST_GRIPS, turn)
    instrument, _ = work.instrument(asked)
    grips = [grip_data(instrument, free_here.candidate) | {"effort_more": 0.0}] if free_here.candidate else []
    grips += [
        grip_data(instrument, other.candidate) | {"effort_more": round(other.effort_more, 3)}
        for other in others
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
            "grips": grips,
            "barred": barred_data(instrument, here.note.pitch, shown, banned, why_not),
            "times": [other.index for other in chosen.notes if other.note.id == here.note.id],
        }
    )


def _note_at(chosen: Route, index: Any) -> RouteNote:
    if not isinstance(index, int) or isinstance(index, bool) or not 0 <= index < len(chosen.notes):
        raise RequestError("there is no such note", place="index")
    return chosen.notes[index]


def compare(work: Work, body: Any, turn: Turn) -> Response:
    """Two sets of wishes for the same part, bars and tempo, note by note."""
    request = keys_of(body, ("wishes_a", "wishes_b"), "compare")
    first, second = asked_of(request.get("wishes_a", {})), asked_of(request.get("wishes_b", {}))
    same = replace(first, part=second.part, bars=second.bars, tempo=second.tempo)
    return answer(compared(work.route(same, turn), work.route(second, turn)))


def take_away(kind: str) -> Task:
    """The task that gives one kind of file."""

    def give(work: Work, body: Any, turn: Turn) -> Response:
        asked = asked_of(keys_of(body, ("wishes",), "download").get("wishes", {}))
        return download(kind, work, asked, work.full_route(asked, turn))

    return give


def stop(_work: Work, _body: Any, _turn: Turn) -> Response:
    """Nothing is left to do: whoever takes this task has stopped the others already."""
    return answer({})


TASKS: dict[str, Task] = {
    ROUTE: route,
    "look": look,
    "engraving": engraving,
    "note": note,
    CURVE: curve,
    "compare": compare,
    "stop": stop,
    **{f"download/{kind}": take_away(kind) for kind in KINDS},
}


def trill_answer(body: Any) -> Response:
    """The pairs of grips for a trill or tremolo, best first, with their diagrams."""
    from gripway.model.grip import Grip
    from gripway.tasks.trill_lists import trill
    from gripway.trills.trill_list import trill_list_data

    request = keys_of(body, ("low", "high", "wishes"), "trill")
    asked: Asked = asked_of(request.get("wishes", {}))
    low, high = pitch_of(request.get("low"), "lower note"), pitch_of(request.get("high"), "upper note")
    instrument = flute(asked.flute or "concert-flute", asked.parts)
    data = trill_list_data(trill(Pitch.parse(low.name), Pitch.parse(high.name), instrument, asked.player))
    for pair in data["pairs"]:
        for side in ("lower", "upper"):
            grip = Grip.parse(pair[f"{side}_grip"])
            pair[f"{side}_short"] = grip.short
            pair[f"{side}_picture"] = picture(instrument, grip)
    return answer(data)
