"""Every grip of a short passage in order, in columns to be read across."""

from rich.text import Text

from gripway.route.result import Route, RouteNote

MOST_NOTES = 64
"""Up to this many notes the grips stand in order."""

BAR, GAP = "bar ", 3


def grip_lines(route: Route, width: int) -> list[Text]:
    """Number, pitch and grip of every note, in columns to be read across; a new bar begins a new line."""
    cells = [_in_order(note) for note in route.notes]
    widest = max(cell.cell_len for cell in cells)
    labels = [note.note.bar for note in route.notes]
    margin = max(len(label) for label in labels) + len(BAR) if any(labels) else 0
    across = max(1, (width - margin + GAP) // (widest + GAP))
    lines: list[Text] = []
    last, count = None, across
    for label, cell in zip(labels, cells, strict=True):
        if count == across or label != last:
            lines.append(Text(f"{BAR}{label}".ljust(margin) if margin and label != last else " " * margin))
            count = 0
        lines[-1].append(" " * GAP if count or margin else "").append(_filled(cell, widest))
        last, count = label, count + 1
    return lines


def _filled(cell: Text, width: int) -> Text:
    filled = cell.copy()
    filled.align("left", width)
    return filled


def _in_order(note: RouteNote) -> Text:
    """`3 G#6 2 3 4 | Eb`, with a star where the grip is not the usual one."""
    candidate = note.candidate
    grip = candidate.grip.short if candidate else "no grip"
    star = "" if candidate is None or candidate.usual else "*"
    text = Text(f"{note.index + 1:>2} {note.note.pitch.name:<3} ")
    return text.append(f"{grip}{star}", "bold" if star or candidate is None else "")
