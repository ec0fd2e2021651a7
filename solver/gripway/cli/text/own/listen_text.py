"""What a recording said, as a player reads it: the sentence, the grips, the takes."""

from typing import TYPE_CHECKING

from gripway.cli.text.terminal import print_table, rendered, words
from gripway.listening.listen_words import clock, missing_words, refusal_words
from gripway.listening.listened import Listened, take_grip
from gripway.listening.takes import MISSING
from gripway.model.pitch import plain_name

if TYPE_CHECKING:
    from rich.console import Console

CAUTION = (
    "Protect your hearing: play at your usual level, not into the microphone, and keep headphones low or "
    "off. The recording stays on this machine."
)


@rendered
def listen_text(console: "Console", found: Listened, sentence: str) -> None:
    """What to do, what was measured, every take with its cents or why it was refused, the caution."""
    console.print(words(sentence, "bold"))
    console.print()
    if found.measured:
        _grips(console, found)
    _takes(console, found)
    console.print(words(CAUTION))


def _grips(console: "Console", found: Listened) -> None:
    rows = [
        (
            plain_name(each.pitch),
            each.grip.short,
            f"{each.cents:+.0f} ±{each.spread_cents:.0f}",
            "" if each.vs_standard is None else f"{each.vs_standard:+.0f} ±{each.vs_spread_cents or 0.0:.0f}",
            str(each.takes),
        )
        for each in found.measured
    ]
    print_table(console, _reference(found), ("pitch", "grip", "cents", "vs", "takes"), rows)


def _reference(found: Listened) -> str:
    """The A4 that the cents are counted from, and what it rests on."""
    if not found.reckoned_from:
        return f"Measured, from the A4 of {found.reference_hz:.1f} Hz that was given"
    notes = "this one note" if found.reckoned_from == 1 else f"these {found.reckoned_from} notes"
    return f"Measured; A4 reckoned from {notes}: {found.reference_hz:.1f} Hz"


def _takes(console: "Console", found: Listened) -> None:
    reference = found.reference_cents or 0.0
    rows = []
    for number, take in enumerate(found.takes, start=1):
        asked = found.asked[take.place]
        if take.end_s == take.start_s:
            continue
        rows.append(
            (
                str(number),
                clock(take.start_s),
                f"{take.end_s - take.start_s:.1f} s",
                plain_name(asked.pitch),
                take_grip(asked, take).short,
                "" if take.cents is None else f"{take.cents - reference:+.1f}",
                refusal_words(take.refused, asked.pitch) if take.refused else "",
            )
        )
    if rows:
        columns = ("take", "at", "long", "pitch", "grip", "cents", "refused")
        print_table(console, "Takes", columns, rows)
    for place, asked in enumerate(found.asked):
        first = next(take for take in found.takes if take.place == place)
        if first.refused and first.end_s == first.start_s:
            why = missing_words(found, first) if first.refused.kind == MISSING else ""
            name = f"{plain_name(asked.pitch)} with {asked.grip.short}"
            console.print(words(f"{name}: {why or refusal_words(first.refused, asked.pitch)}."))
    if len(rows) < len(found.takes):
        console.print()
    _left_out(console, found)


def _left_out(console: "Console", found: Listened) -> None:
    """Notes that were heard and are no take: left out, or it cannot be told which take they are."""
    rows = []
    for note in found.notes:
        if found.take_number(note) is None:
            written = found.written(note)
            pitch = plain_name(written[0]) if written and written[0] in range(128) else "none"
            rows.append((clock(note.start_s), f"{note.length_s:.1f} s", pitch))
    if rows:
        print_table(console, "Heard, and not taken for a take", ("at", "long", "pitch"), rows)
