"""What a player's own readings change in a route, as a table."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gripway.cli.text.terminal import print_table, words
from gripway.compare.own_cents_changes import OwnCentsChange
from gripway.display import counted
from gripway.model.pitch import plain_name
from gripway.model.player import OwnCents
from gripway.route.result import Route
from gripway.route.words.place_words import places_text

if TYPE_CHECKING:
    from rich.console import Console


MOST_READINGS = 3
"""So many readings are named where they change nothing."""


def own_cents_rows(
    console: "Console",
    route: Route,
    changes: Sequence[OwnCentsChange],
    own: Sequence[OwnCents],
    source: str = "your list",
) -> None:
    """Every change with the readings it comes from; one line where none of `own` (of `source`) makes any."""
    if not changes:
        console.print(words(unchanged_words(own, source)))
        console.print()
        return
    rows = []
    for each in changes:
        difference = each.difference
        notes = [(route.passage.notes[k].bar, k) for k in difference.notes]
        by = "; ".join(map(reading_words, each.readings))
        rows.append(
            (
                difference.pitch,
                difference.grip.short,
                difference.instead_of.short,
                places_text(notes),
                f"follows from {by}" if each.follows else by,
            )
        )
    columns = ("pitch", "grip", "in place of", "notes", "from")
    print_table(console, "What your own cents change", columns, rows, "from")


def unchanged_words(own: Sequence[OwnCents], source: str) -> str:
    """`1 reading of tuner.csv counted (F#6 T 1 3 | 2 Eb -7 ±3); it changes no grip here` and so on."""
    named = "; ".join(f"{plain_name(each.pitch)} {reading_words(each)}" for each in own[:MOST_READINGS])
    more = f"; {len(own) - MOST_READINGS} more" if len(own) > MOST_READINGS else ""
    it = "it changes" if len(own) == 1 else "they change"
    return f"{counted(len(own), 'reading')} of {source} counted ({named}{more}); {it} no grip here."


def reading_words(own: OwnCents) -> str:
    """`T 1 3 | 2 Eb -8 ±3 against the standard grip, 3 takes, 2026-11-29`."""
    versus = own.vs_standard
    cents = f"{own.cents:+.0f}" if versus is None else f"{versus:+.0f}"
    spread = own.spread_cents if versus is None or own.vs_spread_cents is None else own.vs_spread_cents
    against = "" if versus is None else " against the standard grip"
    takes = counted(own.takes, "take") if own.takes else ""
    said = f"{own.grip.short} {cents} ±{spread:.0f}{against}"
    return ", ".join(filter(None, (said, takes, own.date or "no date")))
