"""A taste as a player reads it: the sentence, the dials, what does not fit, what would be written."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.taste_figures import taste_figures
from gripway.cli.text.wrapping import wrapped
from gripway.display import counted
from gripway.model.pitch import plain_name
from gripway.taste.fitted import HeldOut
from gripway.taste.held_out import PASSAGE
from gripway.taste.mark import Place
from gripway.taste.taste import KEPT, LEARNT, PERHAPS, Taste
from gripway.taste.taste_data import charges_of
from gripway.taste.taste_sentence import counts_words, sentence

FOUND = (LEARNT, PERHAPS)
"""What has dials or known grips to tell."""

MOST_PLACES = 12
"""So many places of a kind are listed; JSON has all."""


def taste_text(taste: Taste, player_file: Path | None, *, wrote: bool) -> str:
    """The answer as text; `player_file` is where it would be written, `wrote` whether it was."""
    blocks = [
        [wrapped(sentence(taste))],
        [wrapped(_grounds(taste))],
        _dials(taste),
        _known(taste),
        _missed(taste),
        _contradictions(taste),
        _written(taste, player_file, wrote=wrote),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _grounds(taste: Taste) -> str:
    """What was learnt from, and how it was tried."""
    text = f"{counted(taste.marks, 'mark')} in {counted(taste.parts, 'part')}"
    if taste.quiet:
        text += f", {counted(taste.quiet, 'note')} without a mark near them as weak evidence"
    if taste.held_out is not None:
        return f"{text}. {_tried(taste.held_out)}"
    figures = taste_figures()
    if taste.status == KEPT:
        return f"{text}."
    needed = f"{figures.least_marks} marks in {figures.least_groups} different passages or figures"
    return f"{text}. At least {needed} are needed."


def _tried(held: HeldOut) -> str:
    """How marks were held out, and what came of it."""
    together = "passage by passage, same figures together" if held.by == PASSAGE else "figure by figure"
    return (
        f"Held out in {held.folds} turns, {together}: {held.right} of {held.marks} right with what was "
        f"learnt from the others, {held.right_now} as it is; {held.gained} gained, {held.lost} lost (as much "
        f"by chance alone: {100 * held.chance_share:.2g} %)."
    )


def _dials(taste: Taste) -> list[str]:
    """The table of dials where something was learnt, and what the dial of learning charges."""
    if taste.status not in FOUND:
        return []
    rows = [f"{dial.name:<14}{dial.now:>6g}{dial.found:>9g}" for dial in taste.dials]
    lines = [f"{'dial':<14}{'now':>6}{'found':>9}", "─" * 29, *rows]
    charges = charges_of(taste, effort_tables())
    if any(now != found for _, now, found in charges):
        (_, _, grip), (_, _, back) = charges
        lines.append(f"So a new grip must save {grip:g}, and a pitch that changes its grip {back:g}.")
    return lines


def _known(taste: Taste) -> list[str]:
    """The grips that are to count as known."""
    grips = [
        f"  {plain_name(each.pitch)}: {each.grip.short}   {counted(each.marks, 'mark')}"
        for each in taste.known
    ]
    return ["Always used where their note is marked, so known:", *grips] if grips else []


def _missed(taste: Taste) -> list[str]:
    """The marks that do not come out: first those no setting gives."""
    these = "these dials" if taste.status in FOUND else "your dials"
    lines: list[str] = []
    for ever, head in ((False, "No dials explain:"), (True, f"Other dials would explain, {these} do not:")):
        told = [
            f"  {where(each.place)}: {each.place.grip.short} marked, "
            f"{each.gets.short if each.gets else 'no grip'} comes out"
            for each in taste.missed
            if each.ever is ever
        ]
        lines += _some(head, told)
    return lines


def _contradictions(taste: Taste) -> list[str]:
    """The marks whose figure was marked otherwise before."""
    told = []
    for each in taste.contradictions:
        here, before = each.here, each.before
        same = (here.file, here.part) == (before.file, before.part)
        told.append(
            f"  {where(here)}: {here.grip.short} here, {before.grip.short} in the same figure in "
            f"{_bar(before) if same else where(before)}"
        )
    return _some("Contradictions, which no dials can explain both:", told)


def _some(head: str, told: Sequence[str]) -> list[str]:
    """Places under their head, the first of many."""
    if not told:
        return []
    more = [f"  and {len(told) - MOST_PLACES} more (--format json)"] if len(told) > MOST_PLACES else []
    return [head, *told[:MOST_PLACES], *more]


def where(place: Place) -> str:
    """File, part, bar and note in words."""
    return f"{place.file}, {place.part}, {_bar(place)}, {place.note}"


def _bar(place: Place) -> str:
    return f"bar {place.bar}" if place.bar else place.id


def _written(taste: Taste, player_file: Path | None, *, wrote: bool) -> list[str]:
    """What would be written, as lines of the player's file."""
    if taste.status not in FOUND:
        return []
    if wrote:
        return [f"Written to {player_file}:", *_lines(taste)]
    place = player_file or "the file you name with --player"
    return [f"Not written. --write puts this into {place}:", *_lines(taste)]


def _lines(taste: Taste) -> Iterator[str]:
    moved = [dial for dial in taste.dials if dial.found != dial.now]
    if moved:
        yield "  [dials]"
        yield f"  # gripway taste: {counts_words(taste)}"
        yield from (f"  {dial.name} = {dial.found:g}" for dial in moved)
    if taste.known:
        grips = ", ".join(f'"{plain_name(each.pitch)}: {each.grip}"' for each in taste.known)
        yield "  [known]"
        yield f"  grips = [{grips}]"
