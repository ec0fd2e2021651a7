"""A warm-up card as a player reads it."""

from typing import TYPE_CHECKING

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.cli.text.terminal import print_indented, rendered, words
from gripway.model.tempo import tempo_words
from gripway.page.sheet.warm_up_sheet import caution, change_words, how_words, places_words, sentence
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.plan.warm_up import WarmUpCard

if TYPE_CHECKING:
    from rich.console import Console

MOST_PARTS = 4


@rendered
def warm_up_text(console: "Console", card: WarmUpCard) -> None:
    """What to do, the changes with drill and tempos, what is left, the caution; in at most 100 columns."""
    console.print(words(sentence(card)))
    if card.items:
        console.print(words(how_words()))
    for number, item in enumerate(card.items, start=1):
        cell = item.planned.cell
        span = slice(cell.worst - 1, cell.worst + 1)
        grips = ", ".join(
            f"{pitch} {candidate.grip.short}"
            for pitch, candidate in zip(cell.pitches[span], cell.candidates[span], strict=True)
        )
        console.print()
        console.print(words(f"{number}. {change_words(item)}   load {cell.load:.2f}", style="bold"))
        metre = "{}/{}".format(*item.drill.metre)
        for line in (
            grips,
            f"In {places_words(item.found.places, MOST_PARTS)}.",
            f"{metre}  {item.drill.notation}",
            tempo_words(beat_of_cell(cell, practice_tables().figures), *item.steps),
        ):
            print_indented(console, line)
    console.print()
    if card.left:
        one = card.left == 1
        console.print(words(f"{card.left} more change{'s are' * (not one)}{' is' * one} hard: --top."))
    console.print(words(caution(card)))
