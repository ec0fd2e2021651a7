"""`gripway graph`: the grips of a range as a graph, and what a teacher asks of it."""

from pathlib import Path
from typing import Any

import click

from gripway.cli.options.graph_choice import (
    BRIDGE,
    GRAPH,
    HARDEST,
    NEAR,
    check_ending,
    question_of,
    table_of,
    time_of,
)
from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import flute_options, parts_of, player_of
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.progress import progress_when_long
from gripway.csv_text import csv_text
from gripway.grip_graph.hardest import LOAD, MEASURES, PAIRS, STANDARD, HardChanges
from gripway.grip_graph.questions import Bridge, Near
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.pitch import asked_pitch, plain_name
from gripway.model.player import Player
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.graphs import BESIDE, OCTAVE
from gripway.tasks.graphs import bridge as bridge_task
from gripway.tasks.graphs import graph as graph_task
from gripway.tasks.graphs import hardest as hardest_task
from gripway.tasks.graphs import near as near_task

MANY_GRIPS, MANY_CHANGES = 150, 1000
"""So many grips of a graph, and changes to search for, take long enough to show progress."""

EPILOG = """
\b
Examples:
  gripway graph --from C6 --to C7
  gripway graph --format graphml --out grips.graphml
  gripway graph --near "E6: T 1 2 | Eb" --fingers 2 --of D6
  gripway graph --bridge F#6 G#6 --tempo 120 --unit 1/16
  gripway graph --hardest --from C6 --to B6

\b
A GRIP is a pitch, for its standard grip, or a pitch with its grip: "E6: T 1 2 | Eb".

\b
Exit status: 0 done, 1 nothing found, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.option("--from", "lowest", metavar="PITCH", help="Lowest pitch  [default: C4; C6 with --hardest].")
@click.option("--to", "highest", metavar="PITCH", help="Highest pitch  [default: D7; B6 with --hardest].")
@click.option("--available", type=float, metavar="MS", help="Time from onset to onset  [default: 125 ms].")
@click.option("--tempo", type=float, metavar="QPM", help="Or the time of --unit at quarter notes a minute.")
@click.option("--unit", metavar="LENGTH", default="1/16", show_default=True, help="Note value at --tempo.")
@flute_options("concert-flute")
@click.option("--near", metavar="GRIP", help="Which grips are a few fingers away from this one?")
@click.option(
    "--bridge", nargs=2, metavar="GRIP GRIP", help="Which small changes lead from one to the other?"
)
@click.option("--hardest", is_flag=True, help="Which changes of an octave are hardest?")
@click.option(
    "--fingers",
    type=click.IntRange(0, 9),
    metavar="N",
    help="Fingers that may move  [default: 1; 2 a step of --bridge].",
)
@click.option("--of", metavar="PITCH", help="Near grips of this pitch only.")
@click.option(
    "--within",
    type=click.IntRange(0, 48),
    metavar="N",
    help="Semitones around --near  [default: 12], or outside the ends of --bridge  [default: 2].",
)
@click.option(
    "--stops",
    type=click.IntRange(0, 12),
    default=3,
    show_default=True,
    metavar="N",
    help="Grips between, at most.",
)
@click.option(
    "--pair",
    type=click.Choice(PAIRS),
    default=STANDARD,
    show_default=True,
    help="Hardest with the standard grips, or with the best two.",
)
@click.option(
    "--measure", type=click.Choice(MEASURES), default=LOAD, show_default=True, help="What the cells hold."
)
@click.option(
    "--top", type=click.IntRange(0, 200), default=10, show_default=True, metavar="N", help="Hardest to list."
)
@form_option(("text", "json", "csv", "graphml"), "text to read; json, csv, graphml for programs.")
@click.option(
    "--table",
    type=click.Choice(("changes", "grips", "matrix")),
    help="Which table as csv: changes or grips of the graph; matrix or changes of --hardest.",
)
@out_option
@click.pass_context
def graph(context: click.Context, /, form: str, out: Path | None, **asked: Any) -> int:
    """Explore the graph of grips: every grip of a range and every change between them.

    Ask for the grips near one (--near), for a bridge of small changes over a hard one (--bridge), or
    for the hardest changes of an octave (--hardest); without a question the graph itself.
    """
    question = question_of(context, asked | {"form": form})
    check_out(out, asked["player_file"])
    check_ending(form, out)
    available_ms = time_of(context, asked["available"], asked["tempo"], asked["unit"])
    for option, text in (("--from", asked["lowest"]), ("--to", asked["highest"]), ("--of", asked["of"])):
        if text is not None:
            asked_pitch(text, option)
    player = player_of(asked["player_file"])
    flute, _ = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player)
    answer, done = ANSWERS[question](flute, player, available_ms, form, asked)
    write_out(answer, out, asked["player_file"])
    return 0 if done else 1


Answer = tuple[str | bytes, bool]
"""What is printed, and whether anything was found."""


def _graph(
    flute: Instrument, player: Player, available_ms: float, form: str, asked: dict[str, Any]
) -> Answer:
    with progress_when_long("grips", MANY_GRIPS) as progress:
        found = graph_task(flute, asked["lowest"], asked["highest"], available_ms, player, progress)
    if not found:
        tell((Remark("no pitch of this range has a grip on this flute: see gripway grips"),))
    if form == "graphml":
        from gripway.grip_graph.graph import graphml

        return graphml(found), bool(found)
    if form == "json":
        from gripway.grip_graph.graph import graph_data

        return as_json(graph_data(found, flute.id, available_ms)), bool(found)
    if form == "csv":
        from gripway.grip_graph.graph import CHANGE_COLUMNS, GRIP_COLUMNS, edge_rows, node_rows

        if table_of(GRAPH, asked["table"]) == "grips":
            return csv_text(node_rows(found), () if found else GRIP_COLUMNS), bool(found)
        return csv_text(edge_rows(found), () if found.edges else CHANGE_COLUMNS), bool(found)
    from gripway.cli.text.graph_text import graph_text

    return graph_text(found, flute, available_ms), bool(found)


def _near(flute: Instrument, player: Player, available_ms: float, form: str, asked: dict[str, Any]) -> Answer:
    fingers = 1 if asked["fingers"] is None else asked["fingers"]
    within = OCTAVE if asked["within"] is None else asked["within"]
    found = near_task(flute, asked["near"], fingers, asked["of"], within, available_ms, player)
    if form == "json":
        from gripway.grip_graph.questions import near_data

        return as_json(near_data(found)), bool(found.grips)
    if form == "csv":
        return _steps(found), bool(found.grips)
    from gripway.cli.text.graph_text import near_text

    where = f"of {asked['of']}" if asked["of"] else f"within {within} semitones"
    return near_text(found, flute, fingers, where, available_ms), bool(found.grips)


def _bridge(
    flute: Instrument, player: Player, available_ms: float, form: str, asked: dict[str, Any]
) -> Answer:
    fingers = 2 if asked["fingers"] is None else asked["fingers"]
    within = BESIDE if asked["within"] is None else asked["within"]
    start, end = asked["bridge"]
    found = bridge_task(flute, start, end, fingers, asked["stops"], within, available_ms, player)
    if form == "json":
        from gripway.grip_graph.questions import bridge_data

        return as_json(bridge_data(found)), bool(found.path)
    if form == "csv":
        return _steps(found), bool(found.path)
    from gripway.cli.text.graph_text import bridge_text

    return bridge_text(found, flute, fingers, asked["stops"], available_ms), bool(found.path)


def _hardest(
    flute: Instrument, player: Player, available_ms: float, form: str, asked: dict[str, Any]
) -> Answer:
    with progress_when_long("changes", MANY_CHANGES) as progress:
        found = hardest_task(
            flute, asked["lowest"], asked["highest"], available_ms, asked["pair"], player, progress
        )
    tell(tuple(Remark(f"{plain_name(pitch)} left out: {why}") for pitch, why in found.without))
    measure, most = asked["measure"], asked["top"]
    if form == "json":
        from gripway.grip_graph.hardest import hardest_data

        return as_json(hardest_data(found, most, measure)), True
    if form == "csv":
        if table_of(HARDEST, asked["table"]) == "matrix":
            return _matrix(found, measure), True
        from gripway.grip_graph.hardest import pair_rows

        return csv_text(pair_rows(found, most, measure)), True
    from gripway.cli.text.hardest_text import hardest_text

    return hardest_text(found, flute, measure, most), True


def _steps(found: Near | Bridge) -> str:
    from gripway.grip_graph.questions import ANSWER_COLUMNS, answer_rows

    return csv_text(answer_rows(found), () if found.changes else ANSWER_COLUMNS)


def _matrix(found: HardChanges, measure: str) -> str:
    from gripway.grip_graph.hardest import matrix_rows

    names = [plain_name(pitch) for pitch in found.pitches]
    rows = zip(names, matrix_rows(found, measure), strict=True)
    return csv_text({"from": name, **dict(zip(names, row, strict=True))} for name, row in rows)


ANSWERS = {GRAPH: _graph, NEAR: _near, BRIDGE: _bridge, HARDEST: _hardest}
