"""The log of `gripway practise`: what was asked for before, what was reached, and writing it down."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from gripway.asked.pins import ban_of, pin_of
from gripway.catalog.own_files.known_grips import add_known
from gripway.catalog.own_files.practice_log import append, odd_line, read_log
from gripway.catalog.tables.practice_figures import practice_tables
from gripway.cli.argument_words import place_of
from gripway.cli.options.passage_choice import unit_of
from gripway.cli.options.shared import player_of
from gripway.cli.stderr_messages import say
from gripway.errors import GripwayError, RequestError
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.tempo import beats_of, check_tempo, quarters_of_beats, tempo_words
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.plan.log_reading import (
    NO_HISTORY,
    History,
    day_entry,
    history_of,
    notes_of,
    plan_entry,
    reached_entry,
)
from gripway.practice.plan.plan import Plan
from gripway.score.xml.numerals import shown, whole
from gripway.tasks.practise import PracticeTime, met_on_the_first_day

LOG_OPTION = "--log"
REACHED_OPTION, MASTERED_OPTION = "--reached", "--mastered"
KEPT = (
    "score", "notes", "wanted_parts", "voice", "bars", "tempo", "unit", "instrument", "parts", "player_file",
    "dials", "pins", "bans", "choose", "minutes", "days", "order", "most",
    "decisions_file", "house_file", "articulation",
)  # fmt: skip
"""What a log remembers of a request, by parameter name."""

MOST_NOTES = 1_000_000
"""A pin's number beyond this is no note, whatever the passage."""

PASSAGE = ("score", "notes", "wanted_parts", "voice", "bars", "unit")
PATHS = ("score", "player_file", "decisions_file", "house_file")


def history_in(context: click.Context, log: Path | None, reached: Sequence[str] = ()) -> History:
    """What a log says; a line that was cut off is told on standard error and passed over.

    Raises PlayerFileError at the first line that says what no log of ours says.
    """
    if log is None:
        if reached:
            raise RequestError(
                "there is no log to write it in", place=REACHED_OPTION, next_step="Add --log FILE"
            )
        return NO_HISTORY
    lines = read_log(log)
    for number in lines.broken:
        say(f"remark: {log}: line {number} is not whole and is passed over")
    history = history_of(lines.entries, lambda asked: _fault_of(context, asked))
    for place, why in history.odd:
        raise odd_line(log, lines.numbers[place], why)
    return history


def _fault_of(context: click.Context, asked: Mapping[str, Any]) -> str:
    """Why a remembered request could not have been typed; empty where it could."""
    given: dict[str, Any] = {**context.params, **asked}
    try:
        for option in context.command.params:
            if option.name in asked and option.name in KEPT:
                _check_kind(context, option, asked[option.name])
        PracticeTime(given["minutes"], given["days"], given["order"], given["most"])
        check_tempo(given["tempo"])
        unit_of(given["unit"])
        player_of(None, tuple(given["dials"] or ()))
        for text in given["pins"] or ():
            pin_of(text, MOST_NOTES)
        for text in given["bans"] or ():
            ban_of(text)
    except click.ClickException as problem:
        return problem.format_message().rstrip(".")
    except GripwayError as problem:
        place = place_of(problem)
        return f"{place}: {problem.what}" if place else problem.what
    return ""


def _check_kind(context: click.Context, option: click.Parameter, value: Any) -> None:
    """BadParameter, naming the option, for a value that it cannot have."""
    if value is None and not option.multiple and not isinstance(option.default, str | int):
        return  # what need not be given
    kind = {click.INT: int, click.FLOAT: int | float}.get(option.type, str)
    values = value if option.multiple and isinstance(value, list) else [value]
    if not all(isinstance(each, kind) and not isinstance(each, bool) for each in values):
        raise click.BadParameter(f"{shown(str(value))} is no such value", ctx=context, param=option)
    for each in values:
        try:
            option.type.convert(each, option, context)
        except (TypeError, ValueError, OverflowError):  # such as a NUL in a path, or 400 digits
            raise click.BadParameter(
                f"{shown(str(value))} is no such value", ctx=context, param=option
            ) from None


def check_log(log: Path | None, *inputs: Path | None) -> None:
    """RequestError for a log that is one of the inputs, or of a passage that cannot be read again."""
    if log is None:
        return
    if any(path is not None and log.exists() and path.exists() and log.samefile(path) for path in inputs):
        raise RequestError(
            "the log would be written into the input", place=str(log), next_step="Name another"
        )
    if any(str(path) == "-" for path in inputs):
        raise RequestError(
            "a log needs a passage that can be read again",
            place=LOG_OPTION,
            next_step="Save the score as a file, or give --notes",
        )


def asked_before(
    context: click.Context, asked: Mapping[str, Any], before: Mapping[str, Any]
) -> dict[str, Any]:
    """The request a log remembers; what is given now wins, and a passage given now replaces all of it."""
    given = {name for name in asked if context.get_parameter_source(name) == ParameterSource.COMMANDLINE}
    fresh = bool(given & {"score", "notes"})
    merged = dict(asked)
    for name in KEPT:
        if name in given or name not in before or (fresh and name in PASSAGE):
            continue
        value = before[name]
        if name in PATHS and value is not None:
            value = Path(value)
        merged[name] = tuple(value) if isinstance(value, list) else value
    return merged


def note_plan(log: Path, history: History, asked: Mapping[str, Any], passage: Passage, now: str) -> None:
    """Write down what was asked for, unless the log knows it."""
    kept = {name: _plain(name, asked[name]) for name in KEPT}
    if history.asked != kept:
        append(log, [plan_entry(kept, passage, now)])


def _plain(name: str, value: Any) -> Any:
    """A value as JSON has it; paths in full, so that the log may be used from anywhere."""
    if name in PATHS and value is not None:
        return str(Path(value).resolve())
    return list(value) if isinstance(value, tuple) else value


def reached_of(texts: Sequence[str], cells: Sequence[Cell], now: str) -> list[dict[str, Any]]:
    """The entries of `--reached` options. Raises RequestError for no such cell, or no such tempo."""
    entries = []
    for text in texts:
        number, _, tempo = (word.strip() for word in text.partition("="))
        cell_number, beats = whole(number), whole(tempo)
        if cell_number is None or beats is None:
            raise RequestError(
                f"{text!r} says no cell and tempo",
                place=REACHED_OPTION,
                next_step="Write cell=tempo, for example --reached 1=96",
            )
        if not 0 < cell_number <= len(cells):
            raise RequestError(
                f"there is no cell {number}",
                place=f"{REACHED_OPTION} {text}",
                next_step=f"The cells are 1 to {len(cells)}" if cells else "This plan has no cells",
            )
        cell = cells[cell_number - 1]
        quarters = quarters_of_beats(beats, beat_of_cell(cell, practice_tables().figures))
        check_tempo(quarters, f"{REACHED_OPTION} {text}")
        _check_target(text, beats, cell)
        entries.append(reached_entry(cell, quarters, round(cell.goal_quarters), now))
    return entries


def _check_target(text: str, beats: int, cell: Cell) -> None:
    """RequestError for a tempo so far above that of the part that it must be a slip."""
    target = round(cell.goal_quarters)
    figures = practice_tables().figures
    beat = beat_of_cell(cell, figures)
    most = beats_of(int(target * figures.reached_most_share), beat)
    if beats > most:
        raise RequestError(
            f"{beats} is far above the tempo of the part here, {tempo_words(beat, target)}",
            place=f"{REACHED_OPTION} {text}",
            next_step=f"Give at most {most}, or ask for the plan at a higher --tempo first",
        )


def note_day(log: Path, history: History, plan: Plan, now: str) -> None:
    """Write down which drills the day had that is over, once a day."""
    if not any(entry.when[:10] == now[:10] for entry in history.reached):
        append(log, [day_entry(met_on_the_first_day(plan), now)])


def note_known(cells: Sequence[int], plan: Plan, player_file: Path | None) -> None:
    """Add the new grips of cells (from 1) to the known ones of the player's file, and say so.

    Raises RequestError without a file, and for a cell that has no grip to learn.
    """
    if player_file is None:
        raise RequestError(
            "there is no player file to note them in",
            place=MASTERED_OPTION,
            next_step="Add --player FILE (an empty file will do)",
        )
    grips: list[tuple[str, Grip]] = []
    for number in cells:
        learnt = plan.cells[number - 1].worth if 0 < number <= len(plan.cells) else None
        if learnt is None or not learnt.learn:
            with_new = [str(n) for n, each in enumerate(plan.cells, start=1) if each.worth.learn]
            raise RequestError(
                f"cell {number} has no grip to learn",
                place=f"{MASTERED_OPTION} {number}",
                next_step=f"Cells with one: {', '.join(with_new)}"
                if with_new
                else "No cell of this plan has",
            )
        grips += [(each.pitch, each.candidate.row_grip) for each in learnt.alternates]
    added = add_known(player_file, grips)
    told = ", ".join(dict.fromkeys(f"{pitch} {grip.short}" for pitch, grip in grips))
    say(f"{'known now' if added else 'known already'}, in {player_file}: {told}")


def kept_history(history: History, asked: Mapping[str, Any], plan: Plan) -> list[str]:
    """After a change of tempo: which cells keep what was reached, and what is no cell any more."""
    if history.asked is None or not history.reached or history.asked.get("tempo") == asked["tempo"]:
        return []
    kept = [str(number) for number, each in enumerate(plan.cells, start=1) if each.reached]
    now = {notes_of(each.cell) for each in plan.cells}
    gone = list(dict.fromkeys(entry.notes for entry in history.reached if entry.notes not in now))
    said = (
        f"at this tempo what you reached is kept for cell {', '.join(kept)}"
        if kept
        else ("at this tempo no cell has the notes of one you reached a tempo for")
    )
    return [said + (f"; no cell now, but kept in the log: {', '.join(gone)}" if gone else "")]


def note_reached(log: Path, entries: Sequence[Mapping[str, Any]], cells: Sequence[Cell]) -> None:
    """Write down what was reached, and say so on standard error in the beats of the cells."""
    if not entries:
        return
    append(log, entries)
    beats = {notes_of(cell): beat_of_cell(cell, practice_tables().figures) for cell in cells}
    for entry in entries:
        beat = beats[entry["notes"]]
        target = beats_of(entry["target"], beat)
        clean = tempo_words(beat, entry["quarters"])
        say(f"noted in {log}: {entry['notes']} clean at {clean} (of {target})")
