"""`gripway evenness FILE SCORE`: which changes of a recorded passage come late, which should."""

from pathlib import Path
from typing import Any

import click

from gripway.asked.wishes import Wishes
from gripway.cli.options.heads import Headed
from gripway.cli.options.passage_choice import flute_for, passage_options, source_of
from gripway.cli.options.shared import flute_options, player_of
from gripway.cli.options.sound_options import a4_of, a4_option
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.own.passage_evenness import evenness as evenness_task

EPILOG = """
\b
Examples:
  gripway evenness take.wav part.musicxml --bars 12-20 --tempo 96
  gripway evenness take.wav part.musicxml --tempo 96 --format html --out even.html
  gripway evenness take.wav --notes "E6 F#6 G#6 A6" --tempo 96

\b
Play to a click in headphones, so that the recording holds the flute alone, repeats as
they are written. --tempo is that of the click. No sound leaves this machine.

\b
Exit status: 0 done, 1 done but some note was not heard, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("file", type=click.Path(path_type=Path))
@passage_options
@a4_option
@flute_options("concert-flute, or by the part's transposition")
@form_option(("text", "json", "html"), "html: the engraved music with what was late and what was expected.")
@out_option
def evenness(
    file: Path, form: str, out: Path | None, score: Path | None, notes: str | None, **asked: Any
) -> int:
    """Hear how even a recorded passage is: which changes come late, and which were expected to."""
    from gripway.sound.reading import check_there

    check_out(out, asked["player_file"], file, score)
    check_there(file)
    a4_hz = a4_of(asked["a4"])
    source = source_of(score, notes, asked)
    player = player_of(asked["player_file"])
    flute, remarks = flute_for(source, asked, player)
    mine = FlutePlayer(flute, player)
    heard, route = evenness_task(file, source.passage, mine, Wishes(player=player, others=0), a4_hz=a4_hz)
    tell((*remarks, *route.passage.remarks))
    if form == "json":
        from gripway.listening.times.evenness_data import evenness_data

        answer: str = as_json(evenness_data(heard, route))
    elif form == "html":
        from gripway.tasks.own.passage_evenness import evenness_page

        answer = evenness_page(heard, route, source.reading, asked["bars"])
    else:
        from gripway.cli.text.own.evenness_text import evenness_text

        answer = evenness_text(heard, route)
    write_out(answer, out, asked["player_file"], file, score)
    return 1 if heard.missed else 0
