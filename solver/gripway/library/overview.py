"""The overview of a repertoire as a page: what to do first, then the statistics as plots."""

from collections.abc import Iterator, Sequence

from gripway.library.record import Row
from gripway.library.repertoire import ALL, COMPOSER, KEY, PITCH
from gripway.model.grip import Grip
from gripway.page.bar_plot import Bar, BarPlot
from gripway.page.library_page import library_page

MOST_BARS = 20
"""So many bars a plot has at most; the tables have the rest."""


def advice(changes: Sequence[Row], grips: Sequence[Row]) -> str:
    """What to do first, in one sentence: the grip that saves most, the change that is late most often."""
    told = []
    every = [row for row in grips if row["by"] == ALL]
    if every:
        best = max(every, key=lambda row: (row["saves"] or 0.0, row["parts"]))
        told.append(
            f"learn {best['pitch']} {_short(best['grip'])} first: it pays in "
            f"{_of(best['parts'], best['parts_with_pitch'])} with that pitch"
        )
    if changes:
        worst = changes[0]
        told.append(
            f"practise {worst['from_pitch']} to {worst['to_pitch']}: it is too fast {_times(worst['times'])} "
            f"in {_parts(worst['parts'])}"
        )
    words = "; ".join(told) or "stay with the standard grips: none other pays, and no change is too fast"
    return f"{words[0].upper()}{words[1:]}."


def overview(changes: Sequence[Row], grips: Sequence[Row], statistics: Sequence[Row]) -> str:
    """The page, whole in one file; the rows are those of the tables."""
    return library_page(advice(changes, grips), tuple(_plots(changes, grips, statistics)))


def _plots(changes: Sequence[Row], grips: Sequence[Row], statistics: Sequence[Row]) -> Iterator[BarPlot]:
    yield BarPlot(
        "Changes that are too fast",
        "times",
        [
            Bar(
                f"{row['from_pitch']} to {row['to_pitch']}, {_short(row['from_grip'])} to "
                f"{_short(row['to_grip'])}",
                row["times"],
                f"{_times(row['times'])} in {_parts(row['parts'])}, at worst load {row['load']:.2f}",
            )
            for row in changes[:MOST_BARS]
        ],
    )
    yield BarPlot(
        "Unusual grips that pay",
        "% of the parts with that pitch",
        [
            Bar(
                f"{row['pitch']} {_short(row['grip'])} ({row['kind']})",
                100 * row["parts_share"],
                f"{_of(row['parts'], row['parts_with_pitch'])}, saves {row['saves']:.1f} effort",
            )
            for row in [row for row in grips if row["by"] == ALL][:MOST_BARS]
        ],
    )
    for by, title in ((KEY, "key signature"), (COMPOSER, "composer"), (PITCH, "pitch")):
        rows = [row for row in statistics if row["by"] == by]
        yield _by(rows, f"Notes reached too late, by {title}", "late")
        yield _by(rows, f"Notes with an unusual grip, by {title}", "unusual")


def _by(rows: Sequence[Row], title: str, what: str) -> BarPlot:
    """The share of notes, the highest first."""
    shown = sorted((row for row in rows if row[what]), key=lambda row: -row[f"{what}_share"])[:MOST_BARS]
    bars = [
        Bar(row["value"], 100 * row[f"{what}_share"], f"{row[what]} of {row['notes']} notes") for row in shown
    ]
    return BarPlot(title, "% of the notes", bars)


def _short(grip: str) -> str:
    return Grip.parse(grip).short if grip else "no grip"


def _of(some: int, every: int) -> str:
    return f"{some} of {every} part{'' if every == 1 else 's'}"


def _parts(number: int) -> str:
    return f"{number} part{'' if number == 1 else 's'}"


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"
