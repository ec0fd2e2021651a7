"""The evenness of a passage as a player reads it."""

from rich.console import Console

from gripway.cli.text.terminal import print_table, rendered, words
from gripway.listening.times.evenness import Evenness, HeardChange
from gripway.listening.times.evenness_data import agreement_words, evenness_sentence, tempo_found
from gripway.route.result import Route
from gripway.route.words.place_words import change_name
from gripway.route.words.sentence import CAUTION

MOST_ROWS = 40
COLUMNS = ("bar", "note", "change", "late by", "has", "load", "gripway expected")


@rendered
def evenness_text(console: Console, heard: Evenness, route: Route) -> None:
    """What to practise, the late changes beside what was expected, the agreement, the caution."""
    console.print(words(evenness_sentence(heard, route), "bold"))
    console.print()
    quarters = tempo_found(heard, route)
    tempo = f"quarter = {quarters:.1f} · " if quarters else ""
    there = f"{len(heard.onsets_s) - len(heard.missed)} of {len(heard.onsets_s)} notes heard"
    spread = f"onsets within {heard.spread_ms:.0f} ms of the click (standard deviation)"
    console.print(words(f"{tempo}{there} · {spread}"))
    console.print()
    shown = [each for each in heard.changes if each.is_late or each.is_expected]
    if shown:
        rows = [_row(each, route) for each in shown[:MOST_ROWS]]
        print_table(console, "Late, or expected to be", COLUMNS, rows)
    if len(shown) > MOST_ROWS:
        console.print(f"... {len(shown) - MOST_ROWS} more: use --bars, or --format json for all\n")
    if heard.missed:
        missed = ", ".join(
            f"note {place + 1} ({route.notes[place].note.pitch.name})" for place in heard.missed[:12]
        )
        console.print(words(f"Not heard: {missed}{' and more' * (len(heard.missed) > 12)}."))
    console.print(words(agreement_words(heard.agreement)))
    console.print()
    console.print(words(CAUTION))


def _row(each: HeardChange, route: Route) -> tuple[str, ...]:
    return (
        route.notes[each.to].note.bar,
        str(each.to + 1),
        change_name(route, each.to),
        f"{each.late_ms:+.0f} ms{' late' if each.is_late else ''}",
        f"{each.available_ms:.0f} ms",
        "" if each.load is None else f"{each.load:.2f}",
        "late" if each.is_expected else "in time",
    )
