"""A warm-up card on one page: each change with its drill, diagrams and tempos to tick; and its words."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.model.instrument import Instrument
from gripway.model.tempo import beat_name, beats_of
from gripway.page.sheet.practice_sheet import practice_sheet
from gripway.page.sheet.sheet_model import Block, SheetDrill, SheetPage, SheetPause
from gripway.practice.cells.change_bars import cell_places_text
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.cells.hardness import hard_words
from gripway.practice.cells.repertoire_cells import PartPlaces
from gripway.practice.plan.cautions import caution_for_paper
from gripway.practice.plan.warm_up import WarmUpCard, WarmUpItem

HOW = (
    "Each day begin a change at the tempo ticked last; tick the next after {repeats} clean times in a row. "
    "After {minutes:g} minutes go on to the next change, wherever you are."
)


def warm_up_sheet(card: WarmUpCard, instrument: Instrument) -> str:
    """The card as an HTML document of one page."""
    blocks: Sequence[Block] = [_drill(number, item) for number, item in enumerate(card.items, start=1)] or [
        SheetPause(sentence(card))
    ]
    page = SheetPage(
        title=f"one week, {card.minutes:g} minutes a day" if card.items else "nothing is hard",
        facts=" · ".join(card.parts),
        blocks=blocks,
        hints=(how_words(),) if card.items else (),
        cautions=(caution(card),),
    )
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    return practice_sheet("Warm-up card", instrument.title + parts, [page], instrument)


def sentence(card: WarmUpCard) -> str:
    """What to do, in one sentence."""
    figures = practice_tables().figures
    if not card.items:
        return (
            f"Play your pieces as music: no change from D6 up has a load of {hard_words(figures)} at their "
            "tempos."
        )
    many = len(card.items) > 1
    these = f"these {len(card.items)} changes" if many else "this change"
    minutes = f"{figures.warm_up_min:g} minutes{' each' * many}"
    return f"Once a day this week, play {these} of the third octave for {minutes}."


def how_words() -> str:
    """How to use the card from day to day."""
    figures = practice_tables().figures
    return HOW.format(repeats=figures.clean_times, minutes=figures.warm_up_min)


def caution(card: WarmUpCard) -> str:
    """The caution, in two lines."""
    return caution_for_paper()


def change_words(item: WarmUpItem) -> str:
    """`A6 to F#6`."""
    cell = item.planned.cell
    return " to ".join(cell.pitches[cell.worst - 1 : cell.worst + 1])


def places_words(places: Sequence[PartPlaces], most: int) -> str:
    """The parts that have a change, with their bars; so many parts by name."""
    named = [
        f"{each.part}{f' {bars}' if bars else ''}"
        for each in places[:most]
        for bars in [cell_places_text(each.places)]
    ]
    more = len(places) - most
    return "; ".join(named) + (f"; {more} more part{'s' * (more != 1)}" if more > 0 else "")


def _drill(number: int, item: WarmUpItem) -> SheetDrill:
    cell = item.planned.cell
    named = zip(cell.pitches, (candidate.grip for candidate in cell.candidates), strict=True)
    return SheetDrill(
        label=str(number),
        title=change_words(item),
        passage=item.drill.passage,
        grips=item.drill.grips,
        metre=item.drill.metre,
        shown=(),
        hands=[*named][cell.worst - 1 : cell.worst + 1],
        facts=_facts(item),
        steps=tuple(beats_of(step, _beat(item)) for step in item.steps),
    )


def _facts(item: WarmUpItem) -> str:
    """`load 1.87, 12 places`."""
    count = sum(len(each.places) for each in item.found.places)
    cell = item.planned.cell
    return f"load {cell.load:.2f}, {count} place{'s' * (count != 1)}, {beat_name(_beat(item))} ="


def _beat(item: WarmUpItem) -> Fraction:
    return beat_of_cell(item.planned.cell, practice_tables().figures)
