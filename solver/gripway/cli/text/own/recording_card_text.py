"""The card of what to record first, as a player reads it in a terminal."""

from typing import TYPE_CHECKING

from gripway.cli.text.own.listen_text import CAUTION
from gripway.cli.text.terminal import print_table, rendered, words
from gripway.display import counted
from gripway.listening.what_to_record import RecordingCard, ToRecord, card_sentence
from gripway.model.pitch import plain_name
from gripway.route.words.place_words import places_text

if TYPE_CHECKING:
    from rich.console import Console

MOST_PARTS = 3


@rendered
def recording_card_text(console: "Console", card: RecordingCard) -> None:
    """What to record, grip by grip, with the notes that hang on it and where they are."""
    console.print(words(card_sentence(card), "bold"))
    console.print()
    if card.grips:
        columns = (
            "pitch",
            "grip",
            "standard",
            "vs",
            "decides",
            "if lower",
            "if higher",
            "takes",
            "where",
        )
        print_table(console, "", columns, [_row(each) for each in card.grips], "where")
    console.print(words(CAUTION))


def _row(each: ToRecord) -> tuple[str, ...]:
    named = [
        f"{place.part} {places_text(list(zip(place.bars, place.notes, strict=True)))}"
        for place in each.places[:MOST_PARTS]
    ]
    more = len(each.places) - MOST_PARTS
    return (
        plain_name(each.pitch),
        each.grip.short,
        each.standard.short,
        f"{each.vs_standard:+.0f} ±{each.spread_cents:.0f}",
        counted(each.notes, "note"),
        str(each.if_lower),
        str(each.if_higher),
        str(each.takes),
        "; ".join([*named, *([f"{more} more"] * (more > 0))]),
    )
