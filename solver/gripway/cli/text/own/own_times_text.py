"""Own finger times as a player reads them: the card of pairs to record, what the takes say."""

from collections.abc import Sequence

from rich.console import Console

from gripway.catalog.tables.times_figures import times_figures
from gripway.cli.text.terminal import print_table, rendered, words
from gripway.display import counted
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.times.heard_times import HeardTimes
from gripway.listening.times.own_fit import FingerFit
from gripway.listening.times.times_sentence import times_sentence
from gripway.model.pitch import plain_name
from gripway.tasks.own.finger_times import SCALES, TEMPOS

CAUTION = (
    "Fast trills strain the hand: stop on pain, numbness or tingling, shake the hand out and rest a minute "
    "between pairs, and leave the rest for another day. gripway gives no medical advice."
)
HOW_FAST = "trill about four seconds, as fast as is even"
MOST_REFUSED = 20


@rendered
def card_text(console: Console, pairs: Sequence[FingerPair]) -> None:
    """The pairs to record in their order, how, and the caution."""
    takes = times_figures().pair_takes
    console.print(words(f"Record these {len(pairs)} pairs, {takes} takes each: {HOW_FAST}."))
    console.print()
    rows = [
        (
            str(place),
            f"{plain_name(pair.low)} {plain_name(pair.high)}",
            " to ".join(grip.short for grip in pair.grips),
            " ".join(pair.fingers),
        )
        for place, pair in enumerate(pairs, start=1)
    ]
    print_table(console, "", ("no.", "pair", "grips", "moves"), rows)
    for line in how_to_record(pairs):
        console.print(words(line))
    console.print()
    console.print(words("Ask next: gripway own-times FILES (what they say), --player me.toml --save."))
    console.print()
    console.print(words(CAUTION))


def how_to_record(pairs: Sequence[FingerPair]) -> tuple[str, str]:
    """How the pairs are played and their files called, and the scales."""
    named = f"{pairs[0].name}.wav, {pairs[0].name} 2.wav" if pairs else ""
    return (
        f"Name the files {named} and so on. Play every pair once before you begin the second takes, so that "
        "warming up and tiring spread over all. Use the grips shown, slur, and play mezzo-forte half a metre "
        "from the microphone.",
        f"Then {' and '.join(SCALES)}, major, up and down, slurred, four notes to a click in headphones, at "
        f"quarter = {', '.join(map(str, TEMPOS))}, until it is uneven for once: {SCALES[0]} {TEMPOS[0]}.wav "
        "and so on.",
    )


@rendered
def heard_text(console: Console, heard: HeardTimes, *, saved: bool = False) -> None:
    """What to do, the fingers, the pairs, the scales, what was refused, the caution.

    `saved` says that they are written into the player's file.
    """
    console.print(words(times_sentence(heard), "bold"))
    console.print()
    if heard.fit:
        _fingers(console, heard, heard.fit)
        _pairs(console, heard, heard.fit)
    _scales(console, heard)
    _refused(console, heard)
    if heard.missing:
        missing = ", ".join(pair.name for pair in heard.missing)
        console.print(words(f"Not heard yet: {missing}."))
        console.print()
    if heard.fit:
        console.print(words(f"Ask next: {_next(heard, saved=saved)}."))
        console.print()
    console.print(words(CAUTION))


def _next(heard: HeardTimes, *, saved: bool) -> str:
    """What to ask next: the next pair where there are too few takes, else writing them down, or the route."""
    if heard.counts and saved:
        return "gripway finger SCORE --player with the same file --explain (where they count)"
    if heard.counts:
        return "--save with --player (write it down), gripway finger --explain"
    if heard.missing:
        pair = heard.missing[0]
        grips = " to ".join(grip.short for grip in pair.grips)
        return f"record {pair.name}.wav ({grips}), then gripway own-times with all your files"
    return (
        f"record second takes, {heard.asked[0].name} 2.wav first, then gripway own-times with all your files"
    )


def _fingers(console: Console, heard: HeardTimes, fit: FingerFit) -> None:
    """Base and weights beside those of the tables."""
    console.print(
        words(
            f"{counted(heard.takes, 'take')} of {counted(len(heard.pairs), 'pair')}, {heard.date} · an easy "
            f"finger {fit.base_ms:.0f} ±{fit.base_spread_ms:.0f} ms (tables {heard.tables_base_ms:.0f})"
        )
    )
    console.print()
    rows = [
        (finger, f"{weight:.2f}", f"±{fit.spreads[finger]:.2f}", f"{heard.tables_weights[finger]:.2f}")
        for finger, weight in fit.weights.items()
    ]
    print_table(console, "Finger weights", ("finger", "yours", "nine in ten", "by the tables"), rows)


def _pairs(console: Console, heard: HeardTimes, fit: FingerFit) -> None:
    """Each pair: heard, predicted by the other pairs, by the tables; and how good that is."""
    several = len(heard.pairs) > 1
    left_out = {(out.pair.low, out.pair.high): out for out in fit.left_out}
    rows = []
    for each in heard.pairs:
        out = left_out[each.pair.low, each.pair.high]
        uneven = [trill.rate.uneven_share for trill in heard.trills if trill.pair == each.pair]
        rows.append(
            (
                f"{plain_name(each.pair.low)} {plain_name(each.pair.high)}",
                " ".join(each.pair.fingers),
                str(len(each.note_ms)),
                f"{1000.0 / out.measured_ms:.1f}",
                f"{sum(uneven) / len(uneven):.0%}",
                f"{out.measured_ms:.0f} ms",
                *([f"{out.predicted_ms:.0f} ms"] if several else []),
                f"{out.tables_ms:.0f} ms",
            )
        )
    columns = ("pair", "moves", "takes", "a second", "uneven by", "a note")
    by_others = ("by other pairs",) if several else ()
    print_table(console, "Pairs", (*columns, *by_others, "by the tables"), rows)
    if not several:
        return
    widened = f"; spreads widened {fit.widened:.1f} times for it" if fit.widened > 1.0 else ""
    console.print(
        words(
            f"Left out one by one, a pair is told by your others within {fit.error_share:.0%}, by the tables "
            f"within {fit.tables_error_share:.0%} (root mean square){widened}."
        )
    )
    console.print()


def _scales(console: Console, heard: HeardTimes) -> None:
    """The takes of scales, their limits, and the factor."""
    if not heard.scales:
        return
    rows = [
        (
            each.run.name,
            f"{each.run.quarters_per_minute}",
            f"{each.take.note_ms:.0f} ms",
            f"{each.take.uneven_share:.0%}",
            "even" if each.take.is_even else "uneven",
        )
        for each in sorted(heard.scales, key=lambda each: (each.run.name, -each.take.note_ms))
    ]
    print_table(console, "Scales", ("scale", "quarter", "a note", "uneven by", "heard as"), rows)
    for limit in heard.limits:
        if limit.quickest_even_ms is None:
            said = "no take is even: play it slower"
        elif limit.slowest_uneven_ms is None:
            said = (
                f"still even at {limit.quickest_even_ms:.0f} ms: play it quicker, until it is uneven for once"
            )
        else:
            said = (
                f"even down to {limit.quickest_even_ms:.0f} ms a note, uneven at "
                f"{limit.slowest_uneven_ms:.0f}; the law has its limit at {limit.law_ms:.0f}"
            )
        console.print(words(f"{limit.name}: {said}."))
    if heard.line:
        console.print(
            words(f"Inside a line {heard.line.factor:.2f} ±{heard.line.spread:.2f} of the tables' time.")
        )
    console.print()


def _refused(console: Console, heard: HeardTimes) -> None:
    """Takes that do not count, each with its reason."""
    if not heard.refused:
        return
    console.print(words("Takes that do not count", "bold"))
    for each in heard.refused[:MOST_REFUSED]:
        console.print(words(f"{each.place}: {each.what}. {each.next_step}."))
    if len(heard.refused) > MOST_REFUSED:
        console.print(words(f"and {len(heard.refused) - MOST_REFUSED} more"))
    console.print()
