"""The file for the stand: music, diagrams, grips and sound in one HTML file that needs no server."""

import json
from collections.abc import Callable, Iterator
from typing import Any

from markupsafe import Markup

from gripway.display import counted
from gripway.effort.candidate import Candidate
from gripway.model.instrument import Instrument
from gripway.page.browser_data.note_data import loads_data, page_change, page_note, shown_grips, stand_grip
from gripway.page.browser_data.one_script import one_script, page_style
from gripway.page.browser_data.pictures import picture
from gripway.page.browser_data.sheet_data import sheet_data
from gripway.page.document import written_document
from gripway.page.markup import filled, writable
from gripway.route.loads_around import Loads
from gripway.route.result import Route
from gripway.route.words.place_words import part_beside, tempo_fact
from gripway.route.words.sentence import sentence
from gripway.score.reading.score_reading import ScoreReading

WIDTHS_MM = (60.0, 94.0, 134.0, 165.0, 190.0, 250.0)
"""Widths of paper the music is engraved for: a phone, one laid down, tablets, small music on them.

At size medium the file takes the widest on which plates of a diagram are 12 CSS pixels wide (judgement)."""

STYLES = ("app.css", "music/music.css", "stand/stand.css")
SCRIPT = "stand/file.js"


def stand_file(
    reading: ScoreReading,
    route: Route,
    instrument: Instrument,
    around: Callable[[int, Candidate], Loads],
    *,
    bars: str | None = None,
    pinned: frozenset[int] = frozenset(),
) -> str:
    """The HTML document; the score must be the one the route's notes have their ids from.

    The grips of a note are its own and its runners-up in the route; `around` gives the loads of the changes
    around the note of an index with a grip; `pinned` are the notes, by their index, that were given theirs.
    Raises ScoreError where the engraver cannot draw the score.
    """
    title = _title(route)
    sheets = [sheet_data(reading, bars, width) for width in WIDTHS_MM]
    data = {
        "route": _route_data(route, instrument),
        "sheets": [
            {"width_mm": width, "systems": sheet["systems"]}
            for width, sheet in zip(WIDTHS_MM, sheets, strict=True)
        ],
        "glyphs": {code: drawing for sheet in sheets for code, drawing in sheet["glyphs"].items()},
        "font": next((sheet["font"] for sheet in sheets if sheet["font"]), ""),
        "pinned": sorted(pinned),
        **_grips(route, around),
    }
    body = filled(
        "stand.html",
        title=title,
        facts=" · ".join(_facts(route, instrument, bars)),
        answer=sentence(route),
        data=_in_script(data),
    )
    return written_document(f"{title} - for the stand", page_style(*STYLES), body, script=one_script(SCRIPT))


def _title(route: Route) -> str:
    """`Franz Schubert: Symphony No. 5, Allegro`: as the page has it."""
    passage = route.passage
    music = ", ".join(dict.fromkeys(filter(None, (passage.work, passage.title))))
    music = music or "Grips for a line of notes"
    return f"{passage.composer}: {music}" if passage.composer else music


def _facts(route: Route, instrument: Instrument, bars: str | None) -> Iterator[str]:
    if part := part_beside(route.passage.part, instrument.title):
        yield part
    yield instrument.title
    if bars:
        yield f"bars {bars}"
    if tempo := tempo_fact(route.passage, "♩"):
        yield f"worked out at {tempo}"
    unusual = sum(note.candidate is not None and not note.candidate.usual for note in route.notes)
    yield f"{counted(unusual, 'unusual grip')} in {counted(len(route.notes), 'note')}"


def _route_data(route: Route, instrument: Instrument) -> dict[str, Any]:
    """The route as the scripts of the page take it, diagrams of all grips among it."""
    grips = {*shown_grips(route.notes)}
    grips |= {other.candidate.grip for note in route.notes for other in note.others}
    return {
        "since": None,
        "revision": 1,
        "instrument": {"id": instrument.id, "parts": list(instrument.parts)},
        "sounds_semitones": instrument.sounds_semitones,
        "count": len(route.notes),
        "notes": [page_note(note) for note in route.notes],
        "changes": [page_change(change) for change in route.changes],
        "no_change": [],
        "hardest": list(route.hardest),
        "pictures": {grip.text: picture(instrument, grip) for grip in sorted(grips, key=lambda g: g.text)},
    }


def _grips(route: Route, around: Callable[[int, Candidate], Loads]) -> dict[str, Any]:
    """`facts`, each once, and `grips`: for each played note the places of its facts, and the two loads."""
    places: dict[str, int] = {}
    facts: list[dict[str, Any]] = []
    grips = []
    for note in route.notes:
        own = [note.candidate] if note.candidate else []
        entries = []
        for candidate in [*own, *(other.candidate for other in note.others)]:
            fact = stand_grip(candidate)
            place = places.setdefault(json.dumps(fact), len(facts))
            if place == len(facts):
                facts.append(fact)
            entries.append([place, *loads_data(around(note.index, candidate)).values()])
        grips.append(entries)
    return {"facts": facts, "grips": grips}


def _in_script(data: dict[str, Any]) -> Markup:
    """JSON for a block of data: nothing in it can end the block or begin a comment."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    safe = writable(text).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    return Markup(safe)  # noqa: S704 - no sign of markup is left in it
