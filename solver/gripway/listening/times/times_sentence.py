"""What to do about one's own finger times, in one plain sentence: the first line of the answer."""

from gripway.display import counted
from gripway.listening.times.heard_times import HeardTimes
from gripway.model.mechanism import FINGER_NAMES

MOST_FINGERS = 2


def times_sentence(heard: HeardTimes) -> str:
    """What to do next, or what the takes say where there are enough of them."""
    if heard.fit is None:
        return "No take can be used: record the pairs of gripway own-times again."
    if not heard.counts:
        figures = heard.figures
        lacking = ", ".join(pair.name for pair in heard.missing[:3])
        more = f", next {lacking}" if lacking else ""
        counts = "counts" if heard.takes == 1 else "count"
        return (
            f"Record more: {counted(heard.takes, 'take')} of {counted(len(heard.pairs), 'pair')} {counts}, "
            f"and the tables speak until there are {figures.least_takes} takes of "
            f"{figures.least_pairs} pairs{more}."
        )
    slow, quick = slower_and_quicker(heard)
    if not slow and not quick:
        return "Your fingers are as the tables have them; once saved, your own times count."
    said = []
    if slow:
        said.append(f"your {_names(slow)} {'is' if len(slow) == 1 else 'are'} slower than the tables have it")
    if quick:
        said.append(f"your {_names(quick)} quicker")
    return f"Reckon with your own times: {', '.join(said)}."


def slower_and_quicker(heard: HeardTimes) -> tuple[list[str], list[str]]:
    """Fingers whose weight differs from the tables' by more than its spread, the farthest first."""
    if heard.fit is None:
        return [], []
    off = {
        finger: weight / heard.tables_weights[finger] - 1.0
        for finger, weight in heard.fit.weights.items()
        if abs(weight - heard.tables_weights[finger]) > heard.fit.spreads[finger]
    }
    by_size = sorted(off, key=lambda finger: -abs(off[finger]))
    slow = [finger for finger in by_size if off[finger] > 0.0]
    return slow, [finger for finger in by_size if off[finger] < 0.0]


def _names(fingers: list[str]) -> str:
    names = [FINGER_NAMES[finger] for finger in fingers[:MOST_FINGERS]]
    return " and ".join(names)
