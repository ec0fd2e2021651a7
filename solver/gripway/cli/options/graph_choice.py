"""What `gripway graph` is asked: which question, in which time, and which options fit it."""

from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from gripway.cli.options.passage_choice import TEMPO_OPTION, unit_of
from gripway.errors import RequestError
from gripway.model.tempo import check_tempo
from gripway.tasks.graphs import DEFAULT_MS, LONGEST_MS, SHORTEST_MS

GRAPH, NEAR, BRIDGE, HARDEST = "", "near", "bridge", "hardest"
NAMES = {GRAPH: "the graph itself", NEAR: "--near", BRIDGE: "--bridge", HARDEST: "--hardest"}

FITS = {
    "lowest": (GRAPH, HARDEST),
    "highest": (GRAPH, HARDEST),
    "fingers": (NEAR, BRIDGE),
    "of": (NEAR,),
    "within": (NEAR, BRIDGE),
    "stops": (BRIDGE,),
    "pair": (HARDEST,),
    "measure": (HARDEST,),
    "top": (HARDEST,),
}
"""Options (by parameter name) and the questions they belong to."""

TABLES = {GRAPH: ("changes", "grips"), HARDEST: ("matrix", "changes"), NEAR: (), BRIDGE: ()}
"""The tables that --format csv can give, the usual one first; none where there is only one."""

ENDINGS = {"graphml": (".graphml",), "csv": (".csv",), "json": (".json",)}
FOREIGN = frozenset(ending for endings in ENDINGS.values() for ending in endings)


def question_of(context: click.Context, asked: dict[str, Any]) -> str:
    """The one question that is asked; RequestError for two, and for options that would do nothing."""
    questions = [name for name in (NEAR, BRIDGE, HARDEST) if asked[name]]
    if len(questions) > 1:
        named = " and ".join(NAMES[name] for name in questions)
        raise RequestError(f"{named} are two questions", next_step="Ask one at a time")
    question = questions[0] if questions else GRAPH
    for option in context.command.params:
        name = option.name or ""
        if name in FITS and question not in FITS[name] and _given(context, name):
            fits = " and ".join(NAMES[one] for one in FITS[name])
            raise RequestError(f"this option is for {fits}", place=option.opts[0], next_step="Leave it out")
    if asked["of"] and asked["within"] is not None:
        raise RequestError(
            "one pitch or all within an interval, not both", place="--of", next_step="Leave one of them out"
        )
    _check_form(question, asked["form"], asked["table"])
    return question


def _given(context: click.Context, name: str) -> bool:
    return context.get_parameter_source(name) == ParameterSource.COMMANDLINE


def _check_form(question: str, form: str, table: str | None) -> None:
    """RequestError for a form or a table that the question does not have."""
    if form == "graphml" and question != GRAPH:
        raise RequestError(
            f"{NAMES[question]} is answered by a table, not by a graph",
            place="--format graphml",
            next_step="Choose text, json or csv",
        )
    if table is None:
        return
    if form != "csv":
        raise RequestError("this option is for --format csv", place="--table", next_step="Leave it out")
    if table not in TABLES[question]:
        known = " or ".join(TABLES[question]) or "only one table: leave it out"
        raise RequestError(
            f"{NAMES[question]} has no table of {table}", place="--table", next_step=f"It has {known}"
        )


def table_of(question: str, table: str | None) -> str:
    """The table to print: the one asked for, or the usual one."""
    return table or next(iter(TABLES[question]), "")


def time_of(context: click.Context, available: float | None, tempo: float | None, unit: str) -> float:
    """Milliseconds from onset to onset: --available, or --tempo with --unit, or a sixteenth at 120."""
    if available is not None and tempo is not None:
        raise RequestError(
            "the time is given twice", place="--available", next_step="Give --available or --tempo"
        )
    if tempo is None and _given(context, "unit"):
        raise RequestError("a note value needs a tempo", place="--unit", next_step="Give --tempo too")
    check_tempo(tempo, TEMPO_OPTION)
    place, time_ms = "--available", DEFAULT_MS if available is None else available
    if tempo is not None:
        place, time_ms = "--tempo and --unit", round(float(unit_of(unit) * 4) * 60_000.0 / tempo, 3)
    if not SHORTEST_MS <= time_ms <= LONGEST_MS:  # not a number fails this too
        raise RequestError(
            f"{time_ms:g} ms from onset to onset is no time to change a grip in",
            place=place,
            next_step=f"Give {SHORTEST_MS:g} to {LONGEST_MS:g} ms",
        )
    return time_ms


def check_ending(form: str, out: Path | None) -> None:
    """Refuse a file whose name says something else than it will hold."""
    ending = out.suffix.lower() if out else ""
    if not ending or ending in ENDINGS.get(form, ()) or (form == "text" and ending not in FOREIGN):
        return
    fitting = f"Let the name end in {ENDINGS[form][0]}" if form in ENDINGS else f"Add --format {ending[1:]}"
    raise RequestError(f"{form} cannot go into a {ending} file", place=str(out), next_step=fitting)
