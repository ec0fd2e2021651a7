"""Answers of the page as plain data: the route or what changed in it, one note's grips, two routes."""

from collections.abc import Iterable
from typing import Any

from gripway.candidates.cents import cents_data
from gripway.candidates.grip_list import grip_list_data
from gripway.catalog.flute.instruments import instrument_names, load_instrument, part_titles
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.charges.charges_paid import Charges
from gripway.effort.ledger import MILLI
from gripway.limits.wording import limit_lines
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch
from gripway.page.browser_data.note_data import page_change, page_note, remark_data, shown_grips
from gripway.page.browser_data.pictures import picture
from gripway.page.learning_plot import learning_plot
from gripway.route.curve import CurveStep, with_charges
from gripway.route.other_grips import learn_data, other_grips
from gripway.route.result import Route, RouteNote
from gripway.route.route_data import curve_data
from gripway.route.words.reasons import TERM_WORDS
from gripway.route.words.sentence import CAUTION, sentence
from gripway.tasks.flutes import DEFAULT_INSTRUMENT
from gripway.tasks.grip_lists import grips
from gripway.web.work import Answered

CURVE_SIZE = (340, 250)
"""Width and height of the learning curve, as it stands in the panel."""


def flutes_data() -> dict[str, Any]:
    """The flutes with their parts, the dials with their ranges, and the words for parts of effort."""
    flutes = []
    for name in instrument_names():
        plain = load_instrument(name)
        titles = part_titles(name)
        flutes.append(
            {
                "id": plain.id,
                "title": plain.title,
                "sounds_semitones": plain.sounds_semitones,
                "parts": [{"id": part, "title": titles.get(part, part)} for part in plain.known_parts],
            }
        )
    dials = [
        {"name": name, "least": dial.least, "most": dial.most, "default": dial.default, "what": dial.what}
        for name, dial in effort_tables().dials.items()
    ]
    just_in_time = effort_tables().figures.load_below_effort
    return {
        "flutes": flutes,
        "usual_flute": DEFAULT_INSTRUMENT,
        "dials": dials,
        "terms": TERM_WORDS,
        "caution": CAUTION,
        "just_in_time": just_in_time,
    }


def route_answer(now: Answered, known: Answered | None) -> dict[str, Any]:
    """A route for the page: every note, or only those that differ from the route it knows."""
    route, instrument = now.route, now.instrument
    before = known.route if known and known.route.passage is route.passage else None
    changed = [
        k
        for k, note in enumerate(route.notes)
        if before is None or (note is not before.notes[k] and note != before.notes[k])
    ]
    old = {} if before is None else {change.to: change for change in before.changes}
    pictures = {}
    if known is None or before is None or known.instrument != instrument:
        shown: Iterable[RouteNote] = route.notes
    else:
        shown = [route.notes[k] for k in changed]
    for grip in shown_grips(shown):
        if grip.text not in pictures:
            pictures[grip.text] = picture(instrument, grip)
    others = other_grips(route)
    learn = [learn_data(other) | {"short": other.grip.short, "known": other.known} for other in others]
    pictures |= {other.grip.text: picture(instrument, other.grip) for other in others}
    return {
        "revision": now.revision,
        "first": now.first,
        "since": known.revision if known and before is not None else None,
        "instrument": {"id": instrument.id, "title": instrument.title, "parts": list(instrument.parts)},
        "sounds_semitones": instrument.sounds_semitones,
        "status": route.status,
        "sentence": sentence(route),
        "learn": learn,
        "effort": round(route.effort, 3),
        "count": len(route.notes),
        "notes": [page_note(route.notes[k]) for k in changed],
        "changes": [
            page_change(change)
            for change in route.changes
            if old.get(change.to) is not change and old.get(change.to) != change
        ],
        "no_change": sorted({*range(1, len(route.notes))} - {change.to for change in route.changes}),
        "hardest": list(route.hardest),
        "limits": limit_lines(route),
        "pictures": pictures,
        "remarks": [remark_data(remark) for remark in now.remarks],
    }


def curve_answer(steps: tuple[CurveStep, ...], charges: Charges | None) -> dict[str, Any]:
    """The learning curve for the page: points with what their grips charge, a drawing, which is shown."""
    chosen = len(charges.learn) if charges else None
    steps = with_charges(steps, charges)
    drawn = learning_plot(steps, chosen, size=CURVE_SIZE, choosable=True) if len(steps) > 1 else ""
    return {
        "points": [curve_data(step) for step in steps],
        "chosen": chosen,
        "each": round(charges.each_milli / MILLI, 3) if charges else None,
        "svg": str(drawn).replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1),
    }


def barred_data(
    instrument: Instrument, pitch: Pitch, shown: set[str], banned: set[str], why_other: str
) -> list[dict[str, Any]]:
    """The grips of a pitch that cannot be chosen here: banned, not on this flute, or for `why_other`."""
    entries = []
    for entry in grip_list_data(grips(pitch, instrument))["grips"]:
        if entry["grip"] in banned:
            why = "banned"
        elif not entry["playable"]:
            why = "; ".join(entry["flags"]) or "not on this flute"
        else:
            why = why_other
        if why and entry["grip"] not in shown:
            entries.append({key: entry[key] for key in ("grip", "kind", "cents", "use")} | {"why_not": why})
    return entries


def summary(route: Route) -> dict[str, Any]:
    """A route in a few figures."""
    leans = [note.candidate.tendency.cents for note in route.notes if note.candidate]
    known = [abs(lean) for lean in leans if lean is not None]
    return {
        "effort": round(route.effort, 3),
        "mean_cents": round(sum(known) / len(known), 1) if known else None,
        "unusual": sum(not note.candidate.usual for note in route.notes if note.candidate),
        "hardest_load": round(max((change.load for change in route.changes), default=0.0), 2),
        "gaps": sum(note.candidate is None for note in route.notes),
    }


def compared(first: Route, second: Route) -> dict[str, Any]:
    """Two routes of one passage: their figures, and the notes at which they differ."""
    differing = [
        {
            "index": a.index,
            "bar": a.note.bar,
            "id": a.note.id,
            "pitch": a.note.pitch.name,
            "a": _brief(a),
            "b": _brief(b),
        }
        for a, b in zip(first.notes, second.notes, strict=True)
        if (a.candidate and a.candidate.grip) != (b.candidate and b.candidate.grip)
    ]
    return {"a": summary(first), "b": summary(second), "notes": len(first.notes), "differing": differing}


def _brief(note: RouteNote) -> dict[str, Any] | None:
    candidate = note.candidate
    if candidate is None:
        return None
    return {"short": candidate.grip.short, "kind": candidate.kind, "cents": cents_data(candidate)["cents"]}
