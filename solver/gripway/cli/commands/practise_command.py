"""`gripway practise`: a passage in, a practice plan out; a log goes on from day to day."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from gripway.asked.pins import ban_of, pin_of
from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Wishes
from gripway.cli.decisions_asked import DecisionsAsked
from gripway.cli.options.heads import Headed
from gripway.cli.options.marks_options import decisions_option, house_option
from gripway.cli.options.notes_text import notes_given
from gripway.cli.options.passage_choice import (
    ChosenPassage,
    flute_for,
    passage_options,
    refuse,
    refuse_idle_options,
    source_of,
)
from gripway.cli.options.shared import ban_option, dial_option, flute_options, pin_option, player_of
from gripway.cli.options.together import choose_option, form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.practise_log import (
    LOG_OPTION,
    MASTERED_OPTION,
    asked_before,
    check_log,
    history_in,
    kept_history,
    note_day,
    note_known,
    note_plan,
    note_reached,
    reached_of,
)
from gripway.cli.stderr_messages import say
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.practice.plan.log_reading import check_passage
from gripway.practice.plan.plan import Plan
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.practise import (
    ARTICULATIONS,
    MOST_CELLS,
    ORDERS,
    PracticeTime,
    cells_of,
    plan_data,
    practice_part,
)
from gripway.tasks.practise import practise as practise_task

PAPERS = ("a4", "letter")

EPILOG = """
\b
Examples:
  gripway practise part.musicxml --bars 12-20 --minutes 20 --days 5
  gripway practise --notes "(D6 E6 F6 D6)" --tempo 120
  gripway practise part.musicxml --format musicxml --out drills.musicxml
  gripway practise part.musicxml --format html --out sheet.html
  gripway practise part.musicxml --bars 12-20 --log bars12.log
  gripway practise --log bars12.log --reached 1=96 --reached 2=80
  gripway practise --log bars12.log
  gripway practise --log bars12.log --player me.toml --mastered 1

\b
A log is begun with a SCORE or --notes and remembers what was asked for.
Afterwards --log FILE alone gives the next day, and --reached says at which
tempo, in the beats of the plan, a cell was clean.

\b
Exit status: 0 done, 1 done but some note has no grip or a decision no
place, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@passage_options
@flute_options("what the part sounds like")
@dial_option
@pin_option
@ban_option
@decisions_option
@house_option
@choose_option((LEAST_EFFORT, STANDARD_ONLY), "Practise the grips of least effort, or the standard ones.")
@click.option("--minutes", type=int, default=20, show_default=True, help="Minutes a day, rests and all.")
@click.option("--days", type=int, default=5, show_default=True, help="Days the plan is for.")
@click.option(
    "--order",
    type=click.Choice(ORDERS),
    default=ORDERS[0],
    show_default=True,
    help="Within a day: cell after cell, or the cells in turn.",
)
@click.option(
    "--cells",
    "most",
    type=int,
    metavar="N",
    help=f"Cells at most, 1 to {MOST_CELLS}  [default: by the time].",
)
@click.option(
    "--articulation",
    type=click.Choice(ARTICULATIONS),
    default=ARTICULATIONS[0],
    show_default=True,
    help="Drills slurred and tongued as in the part, or the other way.",
)
@click.option(
    LOG_OPTION,
    "log",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Your practice log: go on from what you reached.",
)
@click.option(
    "--reached",
    multiple=True,
    metavar="CELL=TEMPO",
    help="Note that a cell was clean at this tempo, in the beats of the plan: --reached 1=96.",
)
@click.option(
    MASTERED_OPTION,
    type=int,
    multiple=True,
    metavar="CELL",
    help="The new grips of this cell are in your fingers: note them in the --player file.",
)
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    help="The paper a sheet is laid out for  [default: what fits both].",
)
@form_option(
    ("text", "json", "musicxml", "html"),
    "musicxml: the drills as a part; html: a sheet to print, one page a day.",
)
@out_option
@click.pass_context
def practise(
    context: click.Context,
    /,
    form: str,
    out: Path | None,
    log: Path | None,
    reached: tuple[str, ...],
    mastered: tuple[int, ...],
    paper: str | None,
    **asked: Any,
) -> int:
    """Make a practice plan for a SCORE or --notes: hard cells, drills, tempos, days."""
    before = history = history_in(context, log, reached)
    inputs = (asked["score"], asked["player_file"], asked["decisions_file"], asked["house_file"], log)
    check_out(out, *inputs)
    check_log(log, asked["score"], asked["player_file"])
    asked["score"], asked["notes"], stood = notes_given(asked["score"], asked["notes"])
    if log is not None and history.asked is not None:
        asked = asked_before(context, asked, history.asked)
    refuse_idle_options(context, asked["notes"], form)
    if asked["decisions_file"] is None:
        refuse(context, ("house_file",), "says how --decisions are written")
    if form != "html":
        refuse(context, ("paper",), "is for --format html")
    time = PracticeTime(asked["minutes"], asked["days"], asked["order"], asked["most"])
    other = asked["articulation"] != ARTICULATIONS[0]
    check_out(out, asked["score"], *inputs)
    check_log(log, asked["score"], asked["player_file"])
    source = _source(asked, log, stood)
    player = player_of(asked["player_file"], asked["dials"])
    instrument, remarks = flute_for(source, asked, player)
    wishes = Wishes(
        player=player,
        pins=tuple(pin_of(text, len(source.passage.notes)) for text in asked["pins"]),
        bans=tuple(ban_of(text) for text in asked["bans"]),
        choose=asked["choose"],
    )
    decided = DecisionsAsked.of(asked)
    strays = decided.tell_strays((source,))
    mine = FlutePlayer(instrument, player)
    kept, wishes = decided.applied(source, mine, wishes)
    if log is not None:
        check_passage(history, source.passage, f"{LOG_OPTION} {log}")
        now = datetime.now().isoformat(timespec="seconds")
        cells = cells_of(source.passage, instrument, wishes, time)
        results = reached_of(reached, cells, now)
        note_plan(log, history, asked, source.passage, now)
        if results:
            note_day(
                log, history, practise_task(source.passage, mine, wishes, time, history, other=other), now
            )
        note_reached(log, results, cells)
        before, history = history, history_in(context, log)
    if mastered:
        note_known(mastered, practise_task(source.passage, mine, wishes, time, history), asked["player_file"])
        player = player_of(asked["player_file"], asked["dials"])
        mine, wishes = FlutePlayer(instrument, player), replace(wishes, player=player)
    plan = practise_task(source.passage, mine, wishes, time, history, other=other)
    for line in kept_history(before, asked, plan):
        say(f"remark: {line}")
    tell((*remarks, *plan.route.passage.remarks))
    write_out(
        _answer(form, plan, instrument, paper or ""), out, *inputs, asked["score"], asked["player_file"]
    )
    return 0 if plan.route.status == "optimal" and not (strays or kept.lost) else 1


def _source(asked: dict[str, Any], log: Path | None, stood: str) -> ChosenPassage:
    """The passage; a log that has none yet must be begun with one."""
    score, notes = asked["score"], asked["notes"]
    if log is not None and score is None and notes is None:
        raise RequestError(
            "this log has no passage yet",
            place=f"{LOG_OPTION} {log}",
            next_step="Begin it with a SCORE or --notes: gripway practise part.musicxml --log FILE",
        )
    return source_of(score, notes, asked, stood)


def _answer(form: str, plan: Plan, instrument: Instrument, paper: str) -> str | bytes:
    """The plan in the format asked for; a sheet on this paper."""
    if form == "json":
        return as_json(plan_data(plan))
    if form == "musicxml":
        return practice_part(plan)
    if form == "html":
        from gripway.tasks.practice_sheets import plan_sheet

        return plan_sheet(plan, instrument, paper)
    from gripway.cli.text.practise_text import practise_text

    return practise_text(plan, instrument)
