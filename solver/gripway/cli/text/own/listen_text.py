"""What a recording said, as a player reads it: the sentence, the grips, the takes."""

from typing import TYPE_CHECKING

from gripway.cli.text.terminal import print_table, render, words
from gripway.listening.listen_words import clock, refusal_words
from gripway.listening.listened import Listened, take_grip
from gripway.model.pitch import plain_name

if TYPE_CHECKING:
    from rich.console import Console

CAUTION = (
    "Protect your hearing: play at your usual level, not into the microphone, and keep headphones low or "
    "off. The recording stays on this machine."
)


def listen_text(found: Listened, sentence: str) -> str:
    """What to do, what was measured, every take with its cents or why it was refused, the caution."""

    def write(console: "Console") -> None:
        console.print(words(sentence, "bold"))
        console.print()
        if found.measured:
            _grips(console, found)
        _takes(console, found)
        console.print(words(CAUTION))

    return render(write)


def _grips(console: "Console", found: Listened) -> None:
    rows = [
        (
            plain_name(each.pitch),
            each.grip.short,
            f"{each.cents:+.0f} ±{each.spread_cents:.0f}",
            "" if each.vs_standard is None else f"{each.vs_standard:+.0f} ±{each.spread_cents:.0f}",
            str(each.takes),
        )
        for each in found.measured
    ]
    title = f"Measured, at your A4 of {found.reference_hz:.1f} Hz"
    print_table(console, title, ("pitch", "grip", "cents", "vs", "takes"), rows)


def _takes(console: "Console", found: Listened) -> None:
    reference = found.reference_cents or 0.0
    rows = []
    for number, take in enumerate(found.takes, start=1):
        asked = found.asked[take.place]
        heard = take.end_s > take.start_s
        rows.append(
            (
                str(number),
                clock(take.start_s) if heard else "",
                f"{take.end_s - take.start_s:.1f} s" if heard else "",
                plain_name(asked.pitch),
                take_grip(asked, take).short,
                "" if take.cents is None else f"{take.cents - reference:+.1f}",
                refusal_words(take.refused, asked.pitch) if take.refused else "",
            )
        )
    print_table(console, "Takes", ("take", "at", "long", "pitch", "grip", "cents", "refused"), rows)
