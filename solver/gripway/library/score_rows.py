"""The rows that one part of a score adds to the tables of a library."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from gripway.edition.consistency import Finding, FirstMarked
from gripway.effort.ledger import MILLI
from gripway.effort.load import LATE
from gripway.library.record import CHANGES, GRIPS, PARTS, SPOTS, TALLY, Row
from gripway.model.figures import Figure
from gripway.model.pitch import plain_name
from gripway.route.other_grips import OtherGrip, other_grips
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.route.words.place_words import places_text
from gripway.route.words.sentence import sentence
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.editions import Edition
from gripway.tasks.flute_player import FlutePlayer


def part_rows(
    name: str, number: int, reading: ScoreReading, edition: Edition, mine: FlutePlayer
) -> dict[str, list[Row]]:
    """The rows of a part, by kind; `name` is that of its score.

    Rows that are added up name the part by its `number` among those of the score, from 0.
    """
    route = edition.even.route
    head = {
        "file": name,
        "composer": reading.passage.composer,
        "part": reading.passage.part,
        "instrument": mine.instrument.id,
    }
    return {
        PARTS: [head | _part(route, edition)],
        SPOTS: [head | _spot(route, change) for change in _changes_to(route, route.hardest)],
        GRIPS: [head | row for row in _grips(edition)],
        CHANGES: [{"of": number, **row} for row in _late_changes(route)],
        TALLY: [{"of": number, **row} for row in _tally(route)],
    }


def _part(route: Route, edition: Edition) -> Row:
    return {
        "title": route.passage.title,
        "status": route.status,
        "notes": len(route.notes),
        "without_grip": sum(note.candidate is None for note in route.notes),
        "unusual": sum(_is_unusual(note) for note in route.notes),
        "new_grips": sum(not other.known for other in other_grips(route)),
        "late_changes": sum(change.load > LATE for change in route.changes),
        "marks": sum(len(each.signs) for each in edition.marked),
        "effort": round(route.effort, 3),
        "sentence": sentence(route),
    }


def _spot(route: Route, change: RouteChange) -> Row:
    before, after = route.notes[change.to - 1], route.notes[change.to]
    return {
        "bar": after.note.bar,
        "id": after.note.id,
        "key": key_words(after.note.fifths),
        **_two_grips(before, after),
        "load": round(change.load, 3),
        "change_ms": round(change.change_ms, 1),
        "available_ms": round(change.available_ms, 1),
        "movers": " ".join(finger for finger, _ in change.movers),
        "lead": change.advice.lead,
        "effort": round(change.moving.effort, 3),
    }


def _two_grips(before: RouteNote, after: RouteNote) -> Row:
    return {
        "from_pitch": before.note.pitch.plain,
        "from_grip": _grip_text(before),
        "to_pitch": after.note.pitch.plain,
        "to_grip": _grip_text(after),
    }


def _changes_to(route: Route, notes: tuple[int, ...]) -> list[RouteChange]:
    by_note = {change.to: change for change in route.changes}
    return [by_note[to] for to in notes]


def _grips(edition: Edition) -> list[Row]:
    """The unusual grips of a part, and what each buys, as the search without figures has it.

    Where a figure is kept to a grip, the route has no other to compare with; a grip that comes by
    figures alone saves nothing that could be told (None).
    """
    alone = {(each.candidate.pitch, each.grip.mask): each for each in other_grips(edition.even.free)}
    return [
        _grip(other, alone.get((other.candidate.pitch, other.grip.mask)))
        for other in other_grips(edition.even.route)
    ]


def _grip(other: OtherGrip, alone: OtherGrip | None) -> Row:
    saves = alone.saves_milli if alone else None
    tendency = other.candidate.tendency
    return {
        "pitch": plain_name(other.candidate.pitch),
        "grip": other.grip.text,
        "kind": other.candidate.kind,
        "known": other.known,
        "notes": len(other.notes),
        "saves": None if saves is None else round(saves / MILLI, 3),
        "steady": alone.steady if alone else None,
        "cents": None if tendency.cents is None else round(tendency.cents, 1),
        "places": places_text([(note.note.bar, note.index) for note in other.notes]),
    }


def _late_changes(route: Route) -> list[Row]:
    """The changes for which there is too little time, each pair of grips with how often and how badly."""
    times: Counter[tuple[tuple[str, Any], ...]] = Counter()
    worst: dict[tuple[tuple[str, Any], ...], float] = {}
    for change in route.changes:
        if change.load > LATE:
            pair = tuple(_two_grips(route.notes[change.to - 1], route.notes[change.to]).items())
            times[pair] += 1
            worst[pair] = max(worst.get(pair, 0.0), change.load)
    return [{**dict(pair), "times": times[pair], "load": round(worst[pair], 3)} for pair in times]


def _tally(route: Route) -> list[Row]:
    """Notes by pitch, key and unusual grip (empty for the usual ones), with the late changes into them."""
    late = {change.to for change in route.changes if change.load > LATE}
    notes: Counter[tuple[int, int, str, str]] = Counter()
    lates: Counter[tuple[int, int, str, str]] = Counter()
    for note in route.notes:
        unusual = _is_unusual(note)
        grip = _grip_text(note) if unusual else ""
        kind = note.candidate.kind if unusual and note.candidate else ""
        place = (note.note.pitch.number, note.note.fifths, grip, kind)
        notes[place] += 1
        lates[place] += note.index in late
    return [
        {
            "pitch": plain_name(place[0]),
            "key": key_words(place[1]),
            "grip": place[2],
            "kind": place[3],
            "notes": notes[place],
            "late": lates[place],
        }
        for place in sorted(notes)
    ]


def key_words(fifths: int) -> str:
    """A key signature in words: `3 sharps`, `1 flat`, `no signs`."""
    if fifths == 0:
        return "no signs"
    return f"{abs(fifths)} {'sharp' if fifths > 0 else 'flat'}{'s' if abs(fifths) > 1 else ''}"


def _is_unusual(note: RouteNote) -> bool:
    return note.candidate is not None and not note.candidate.usual


def _grip_text(note: RouteNote) -> str:
    return note.candidate.row_grip.text if note.candidate else ""


def finding_row(finding: Finding) -> Row:
    """What does not agree, as a row of the consistency report."""
    return asdict(finding)


def figure_rows(said: Mapping[tuple[str, Figure], FirstMarked]) -> list[Row]:
    """The first grip of each marked figure of a score, for the comparison with other scores.

    `figure` is the figure without its tempo, `tempo` the slowest of its group in quarters a minute.
    """
    return [
        {
            "figure": f"{instrument} {_figure_text(figure)}",
            "tempo": figure.tempo,
            "part": each.part,
            "bar": each.note.bar,
            "note": each.note.pitch.name,
            "id": each.note.id,
            "grip": each.grip.text,
            "rows": sorted(grip.mask for grip in each.rows),
        }
        for (instrument, figure), each in said.items()
    ]


def _figure_text(figure: Figure) -> str:
    context = figure.context
    ornament = "-" if context.ornament is None else "/".join(map(str, context.ornament))
    signs = f"{figure.slurred:d}{figure.slurred_on:d}{figure.grace:d}"
    notes = f"{context.before} {context.pitch} {context.after} {context.length}"
    return f"{notes} {ornament} {figure.dynamic} {signs}"
