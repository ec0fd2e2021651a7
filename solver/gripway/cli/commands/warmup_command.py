"""`gripway warmup SCORE...`: several parts in, a week's card of their worst changes out."""

from pathlib import Path
from typing import Any

import click

from gripway.asked.pins import ban_of
from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Wishes
from gripway.cli.named_parts import named_parts
from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import ban_option, dial_option, flute_options, parts_of, player_of
from gripway.cli.options.together import choose_option, form_option
from gripway.cli.output import as_json, check_out, out_option, write_out
from gripway.model.instrument import Instrument
from gripway.practice.plan.warm_up import WarmUpCard
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.warm_ups import warm_up

EPILOG = """
\b
Examples:
  gripway warmup sonata.musicxml symphony.musicxml
  gripway warmup part.musicxml --format html --out week.html

\b
Exit status: 0 done, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("scores", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--part",
    "wanted_parts",
    multiple=True,
    metavar="NAME",
    help="Part of each score by name or number; all flutes: all  [default: the first flute].",
)
@flute_options("concert-flute")
@dial_option
@ban_option
@choose_option((LEAST_EFFORT, STANDARD_ONLY), "The grips of least effort, or the standard ones.")
@click.option(
    "--top", type=click.IntRange(1, 20), default=10, show_default=True, metavar="N", help="Changes at most."
)
@form_option(("text", "json", "html"), "html: a card of one page to print.")
@out_option
def warmup(form: str, out: Path | None, scores: tuple[Path, ...], **asked: Any) -> int:
    """Make a week's warm-up card: the worst changes of the third octave in your SCORES."""
    check_out(out, asked["player_file"], *scores)
    player = player_of(asked["player_file"], asked["dials"])
    flute, _ = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player)
    wishes = Wishes(player=player, bans=tuple(map(ban_of, asked["bans"])), choose=asked["choose"], others=0)
    parts = named_parts(scores, asked["wanted_parts"])
    card = warm_up(parts, flute, wishes, asked["top"])
    write_out(_answer(form, card, flute), out, asked["player_file"], *scores)
    return 0


def _answer(form: str, card: WarmUpCard, flute: Instrument) -> str:
    """The card in the format asked for."""
    if form == "json":
        from gripway.page.sheet.warm_up_sheet import caution
        from gripway.practice.plan.warm_up import warm_up_data

        return as_json(warm_up_data(card, caution(card)))
    if form == "html":
        from gripway.page.sheet.warm_up_sheet import warm_up_sheet

        return warm_up_sheet(card, flute)
    from gripway.cli.text.warm_up_text import warm_up_text

    return warm_up_text(card)
