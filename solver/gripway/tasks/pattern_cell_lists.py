"""The worst cells of scales and patterns: each pattern solved, the same change met once, worst first."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from gripway.asked.wishes import Wishes
from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.pattern_table import ANY, NONE, PatternKind, pattern_kinds
from gripway.catalog.tables.practice_figures import practice_tables
from gripway.display import Shown, brief, counted
from gripway.errors import ArgumentError, RequestError, check_whole
from gripway.grip_graph.hardest import HardChanges, matrix_rows, pair_change
from gripway.model.instrument import Instrument
from gripway.model.key import ALL_KEYS, Key
from gripway.model.passage import Remark
from gripway.model.pitch import plain_name
from gripway.practice.cells.hardness import hard_words
from gripway.practice.cells.pattern_cells import (
    PatternCell,
    PatternChange,
    PatternRoute,
    pattern_cells,
    pattern_changes,
)
from gripway.practice.cells.pattern_export import change_row, pattern_cell_data
from gripway.practice.cells.patterns import Pattern, pattern
from gripway.practice.plan.cautions import cautions
from gripway.practice.plan.exposure import sound_of
from gripway.practice.plan.plan import PlannedCell
from gripway.route.result import OPTIMAL
from gripway.route.solve import Progress, Solver
from gripway.tasks.flute_player import Flute, asked_of
from gripway.tasks.practise import planned_cell

LOWEST, HIGHEST = "C6", "C7"
MOST_PATTERNS = 6
"""Patterns named with a change or a cell."""

SITTING_MINUTES = 20
"""Minutes the caution on hearing is told for."""


@dataclass(frozen=True, slots=True)
class PatternQuestion:
    """Which patterns are looked through: keys, kinds by id, range and time.

    Without keys all of them, without kinds all that fit the keys. `lowest` and `highest` are note numbers,
    `unit` is the length of a note in whole notes. `quarters` is the tempo, in quarters a minute. The kinds
    are those of `--pattern`: major, major-thirds, chromatic and more.

    >>> import gripway
    >>> gripway.PatternQuestion(84, 96, keys=(gripway.Key.parse("F# minor"),)).quarters
    120.0
    """

    lowest: int
    highest: int
    keys: tuple[Key, ...] = ()
    kinds: tuple[str, ...] = ()
    unit: Fraction = Fraction(1, 16)
    quarters: float = 120.0

    def __post_init__(self) -> None:
        if not isinstance(self.lowest, int) or not isinstance(self.highest, int):
            raise RequestError(
                "a range goes by note numbers", place="PatternQuestion", next_step='Pitch.parse("C6").number'
            )
        if isinstance(self.kinds, str):
            raise ArgumentError(
                f"{self.kinds!r} is no list of patterns", place="kinds", next_step='Write kinds=("major",)'
            )
        if not all(isinstance(key, Key) for key in self.keys):
            raise RequestError(
                "a key is no text here", place="PatternQuestion", next_step='Write Key.parse("F# minor")'
            )


@dataclass(frozen=True, slots=True)
class HardPatterns(Shown):
    """The answer: every change of the patterns, the hardest first, and the worst cells with their drills.

    `cells_left` counts cells beyond those; `worked` stands beside `cells`, one each.
    """

    question: PatternQuestion
    instrument: Instrument
    routes: tuple[PatternRoute, ...]
    changes: tuple[PatternChange, ...]
    cells: tuple[PatternCell, ...]
    worked: tuple[PlannedCell, ...]
    cells_left: int
    matrix: HardChanges
    cautions: tuple[str, ...]
    remarks: tuple[Remark, ...] = field(default=())

    def spelt(self, pitch: int) -> str:
        """A pitch as the patterns spell it: in one key as that key does, otherwise its plain name."""
        if len(self.question.keys) != 1:
            return plain_name(pitch)
        return self.names.get(pitch, plain_name(pitch))

    @property
    def names(self) -> dict[int, str]:
        """The spelling of each pitch of the patterns that comes most often."""
        met: dict[int, Counter[str]] = defaultdict(Counter)
        for each in self.routes:
            for note in each.route.notes:
                met[note.note.pitch.number][note.note.pitch.name] += len(each.names)
        return {pitch: count.most_common(1)[0][0] for pitch, count in met.items()}

    @property
    def complete(self) -> bool:
        """Whether every note of every pattern has a grip."""
        return all(each.route.status == OPTIMAL for each in self.routes)

    def __repr__(self) -> str:
        return brief(
            self,
            self.instrument.title,
            counted(len(self.routes), "pattern"),
            counted(len(self.cells), "cell"),
        )


def hard_patterns(
    instrument: Flute,
    question: PatternQuestion,
    wishes: Wishes | None = None,
    most: int = 6,
    progress: Progress | None = None,
) -> HardPatterns:
    """The worst cells of scales and patterns on a flute, at most `most` of them.

    Raises RequestError where no pattern has two notes in the range, or no pattern of that name fits the keys.
    `progress` is called with how many patterns of how many are done.

    >>> import gripway
    >>> question = gripway.PatternQuestion(84, 96, keys=(gripway.Key("A"),), kinds=("major-thirds",))
    >>> gripway.hard_patterns(gripway.flute(), question, most=2)
    <HardPatterns: concert flute, 1 pattern, 2 cells>
    """
    check_whole(most, "most")
    (mine, wishes), tables = asked_of(instrument, wishes), practice_tables()
    working, flute = mine.solver(wishes), mine.instrument
    if not any(kinds_for(key, question) for key in question.keys or ALL_KEYS):
        raise ArgumentError(
            "none of these patterns fits the keys",
            place="kinds",
            next_step="Name major or minor keys for it",
        )
    wanted = patterns_of(question)
    if not wanted:
        raise RequestError(
            "no pattern has two notes in this range",
            place=f"{plain_name(question.lowest)} to {plain_name(question.highest)}",
            next_step="Choose a wider range",
        )
    routes = tuple(_routes(wanted, working, wishes, progress))
    changes = pattern_changes(routes)
    cells = pattern_cells(routes, changes, tables.figures)
    chosen = cells[:most]
    sound = sound_of(flute.id, SITTING_MINUTES, tables)
    return HardPatterns(
        question=question,
        instrument=flute,
        routes=routes,
        changes=changes,
        cells=chosen,
        worked=tuple(planned_cell(each.cell, each.at.route, wishes, working, tables) for each in chosen),
        cells_left=len(cells) - len(chosen),
        matrix=_matrix(working, changes, routes),
        cautions=tuple(cautions(flute.id, SITTING_MINUTES, sound, tables)),
        remarks=tuple(_remarks(routes)),
    )


def title_of(found: HardPatterns) -> str:
    """What was looked through, in one line: keys, range, tempo, flute."""
    question, flute = found.question, found.instrument
    keys = ", ".join(key.name for key in question.keys) or "all keys"
    kinds = f" ({', '.join(question.kinds)})" if question.kinds else ""
    reach = f"{plain_name(question.lowest)} to {plain_name(question.highest)}"
    time = f"{question.unit} at quarter = {question.quarters:g}"
    return f"{keys}{kinds} · {reach} · {time} · {full_title(flute)}"


def left_over(found: HardPatterns) -> str:
    """What is to say of the cells that are not shown, or that there are none."""
    hard = hard_words(practice_tables().figures)
    if not found.cells:
        return (
            f"No change here has a load of {hard} at this tempo: nothing is worth a drill. "
            "A faster tempo may show some."
        )
    if found.cells_left:
        more = "1 more cell has" if found.cells_left == 1 else f"{found.cells_left} more cells have"
        return f"{more} a load of {hard}: easier than these, and left out."
    return f"These are all cells with a load of {hard}."


def cells_data(found: HardPatterns, most: int) -> dict[str, Any]:
    """The JSON object that `gripway cells --format json` prints, with the `most` hardest changes."""
    question = found.question
    return {
        "instrument": found.instrument.id,
        "keys": [key.name for key in question.keys or ALL_KEYS],
        "patterns": [name for each in found.routes for name in each.names],
        "from": plain_name(question.lowest),
        "to": plain_name(question.highest),
        "available_ms": found.matrix.available_ms,
        "pitches": [found.spelt(pitch) for pitch in found.matrix.pitches],
        "matrix": matrix_rows(found.matrix),
        "changes": [change_row(each) for each in found.changes[:most]],
        "cells": [
            pattern_cell_data(cell, planned) for cell, planned in zip(found.cells, found.worked, strict=True)
        ],
        "cells_left": found.cells_left,
        "cautions": list(found.cautions),
        "remarks": [remark.text for remark in found.remarks],
    }


def cells_part(found: HardPatterns) -> bytes:
    """The drills of the cells as a MusicXML part; RequestError where there are none."""
    from gripway.practice.drills.drill_score import drill_score

    return drill_score(found.worked, "Worst cells", practice_tables()).data


def patterns_of(question: PatternQuestion) -> list[Pattern]:
    """The patterns of a question, each with two notes at least, in the order of keys and tables.

    Patterns without a key count once where they are the same notes.
    """
    found: dict[tuple[object, ...], Pattern] = {}
    for key in question.keys or ALL_KEYS:
        for kind in kinds_for(key, question):
            made = pattern(kind, key, question.lowest, question.highest, question.unit, question.quarters)
            if made is not None:
                own = () if kind.keys in (ANY, NONE) else (key,)
                numbers = (note.pitch.number for note in made.passage.notes)
                found.setdefault((kind.id, *own, *numbers), made)
    return list(found.values())


def kinds_for(key: Key, question: PatternQuestion) -> list[PatternKind]:
    """The kinds asked for that fit a key; without names those of its mode, for all keys the others too."""
    known = pattern_kinds()
    for name in question.kinds:
        if name not in known:
            raise ArgumentError(
                f"no pattern is called {name!r}",
                place="kinds",
                next_step=f"Choose from {', '.join(known)}",
            )
    wanted = [known[name] for name in question.kinds] or [
        kind for kind in known.values() if not question.keys or kind.keys not in (ANY, NONE)
    ]
    return [kind for kind in wanted if kind.keys in (key.mode, ANY, NONE)]


def _routes(
    patterns: Sequence[Pattern], working: Solver, wishes: Wishes, progress: Progress | None
) -> Iterable[PatternRoute]:
    """The route of each pattern; patterns that are the same notes share one."""
    alike: dict[tuple[int, ...], list[Pattern]] = {}
    for each in patterns:
        alike.setdefault(tuple(note.pitch.number for note in each.passage.notes), []).append(each)
    for done, group in enumerate(alike.values()):
        if progress:
            progress(done, len(alike))
        route = working.solve(group[0].passage, wishes)
        yield PatternRoute(group[0], route, tuple(each.name for each in group))


def _matrix(working: Solver, changes: Sequence[PatternChange], routes: Sequence[PatternRoute]) -> HardChanges:
    """The changes by their two pitches, where their load is highest."""
    worst = {}
    for each in changes:
        before, after = each.at.route.notes[each.change.to - 1], each.at.route.notes[each.change.to]
        if before.candidate is not None and after.candidate is not None:
            pair = (before.candidate.pitch, after.candidate.pitch)
            if pair not in worst:
                worst[pair] = pair_change(working, before.candidate, after.candidate, each.change)
    pitches = sorted({note.note.pitch.number for each in routes for note in each.route.notes})
    time = min((change.change.available_ms for change in worst.values()), default=0.0)
    name = working.knowledge.instrument.id
    return HardChanges(name, tuple(pitches), round(time, 3), "patterns", tuple(worst.values()))


def _remarks(routes: Iterable[PatternRoute]) -> Iterable[Remark]:
    """Pitches that have no grip, each once, and what the search remarked."""
    told: dict[str, None] = {}
    for each in routes:
        for note in each.route.notes:
            if note.candidate is None:
                why = note.flags[0] if note.flags else "no grip"
                told[f"{note.note.pitch.plain} left out: {why}"] = None
    yield from (Remark(text) for text in told)
