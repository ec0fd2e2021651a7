"""What a taste comes to in one sentence: the first line of the answer, the same in text and JSON."""

from gripway.display import counted
from gripway.taste.dial_settings import SMALLEST
from gripway.taste.fitted import HeldOut
from gripway.taste.taste import KEPT, LEARNT, PERHAPS, DialFound, Taste

SAME_AS = 0.15
"""A dial within so much of twice or half is told so (judgement)."""


def sentence(taste: Taste) -> str:
    """What to do, in one plain sentence."""
    if taste.status in (LEARNT, PERHAPS):
        return _learnt(taste)
    if taste.status == KEPT:
        return _kept(taste)
    if not taste.marks:
        return "Nothing to learn from: there is no grip marked in these scores."
    return (
        f"Too few marks to learn from: {counted(taste.marks, 'mark')}, of which {taste.right_now} "
        f"{'comes' if taste.right_now == 1 else 'come'} out with your dials as they are; nothing is changed."
    )


def _learnt(taste: Taste) -> str:
    moved = [dial for dial in taste.dials if dial.found != dial.now]
    against = "the default" if all(dial.now == 1 for dial in taste.dials) else "your file"
    said = [f"weigh {_listed([_weighed(dial) for dial in moved])} as {against}"] if moved else []
    if taste.known:
        said.append(f"use {counted(len(taste.known), 'grip')} as known")
    with_them = "with these dials" if moved else "so"
    held = taste.held_out
    if taste.status == PERHAPS or held is None:
        said[0] = f"perhaps {said[0]}"
        come = f"{taste.right} of {taste.marks} marks come out as you wrote them"
        before = f"{taste.right_now} with {against}, which is too little to be certain"
        return f"Your fingerings {' and '.join(said)}: {with_them} {come}, {before}."
    tried = f"{held.right} of {held.marks} held-out marks come out as you wrote them"
    return f"Your fingerings {' and '.join(said)}: {with_them} {tried}, {held.right_now} with {against}."


def _weighed(dial: DialFound) -> str:
    """How much a dial weighs against how it stands."""
    ratio = dial.found / max(dial.now, SMALLEST)
    if dial.found < SMALLEST:
        return f"{dial.name} not at all"
    if abs(ratio - 2) < SAME_AS:
        return f"{dial.name} twice as much"
    if abs(ratio - 0.5) < SAME_AS / 4:
        return f"{dial.name} half as much"
    return f"{dial.name} {ratio:.2g} times as much"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _kept(taste: Taste) -> str:
    if taste.right_now == taste.marks:
        return f"Leave your dials as they are: all {taste.marks} marks come out with them."
    held = taste.held_out
    tried = f" ({held.right} of {held.marks} held-out marks, {held.right_now} with yours)" if held else ""
    return f"Leave your dials as they are: no others do better for certain{tried}."


def counts_words(taste: Taste) -> str:
    """The counts of what was learnt, as a player file has them."""
    held = taste.held_out
    tried = _tried(held) if held else "none held out"
    return f"{tried}; {counted(taste.marks, 'mark')} in {counted(taste.parts, 'part')}"


def _tried(held: HeldOut) -> str:
    return f"{held.right} of {held.marks} held-out marks, {held.right_now} before"
