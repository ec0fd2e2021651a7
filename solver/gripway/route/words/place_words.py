"""A part, its tempo, its places and changes as a player reads them: neighbouring bars drawn together."""

from collections.abc import Sequence

from gripway.display import enumerated
from gripway.model.passage import Passage, quarters_of
from gripway.model.tempo import QUARTER, tempo_words, written_beat
from gripway.route.result import Route

MOST_PLACES = 12
MOST_IN_WORDS = 4


def part_beside(part: str, flute: str) -> str:
    """The name of a part beside that of its flute; empty where it says no more.

    >>> part_beside("Piccolo", "piccolo"), part_beside("Flute 1", "concert flute")
    ('', 'Flute 1')
    """
    return "" if part.casefold() in (flute.casefold(), *flute.casefold().split()) else part


def tempo_fact(passage: Passage, quarter: str = "quarter") -> str:
    """The tempo of a passage, or the slowest and fastest that its marks give it; empty where it has none."""
    tempos = sorted({round(tempo) for note in passage.notes if (tempo := quarters_of(note))})
    if not tempos:
        return ""
    beat = written_beat(passage.notes[0].metre)
    counted = f" ({tempo_words(beat, tempos[0])})" if beat != QUARTER else ""
    if tempos[0] == tempos[-1]:
        return f"{quarter} = {tempos[0]}{counted}"
    return f"{quarter} = {tempos[0]} to {tempos[-1]}, as the marks go"


def places_text(notes: Sequence[tuple[str, int]], most: int = MOST_PLACES) -> str:
    """Bars and indices of notes as `bar 3`, `bars 3, 7-9`, or note numbers where there are no bars.

    Of more than `most` stretches only the first are named, with dots behind them.
    """
    word, runs = _runs(notes)
    shown = ", ".join(runs[:most]) + (", ..." if len(runs) > most else "")
    return f"{word} {shown}"


def places_in_words(notes: Sequence[tuple[str, int]]) -> str:
    """The same in a sentence: `in bar 3`, `in bars 3 and 7-9`, `on note 2`; only the first of many."""
    word, runs = _runs(notes)
    told = [*runs[:MOST_IN_WORDS], "more"] if len(runs) > MOST_IN_WORDS else runs
    where = f"in {word}" if word.startswith("bar") else f"on {word}"
    return f"{where} {enumerated(told)}"


def change_name(route: Route, to: int) -> str:
    """The change into note `to` of a route: `B6 to A6`."""
    return f"{route.notes[to - 1].note.pitch.name} to {route.notes[to].note.pitch.name}"


def _runs(notes: Sequence[tuple[str, int]]) -> tuple[str, list[str]]:
    """What the places are, `bars` or `note`, and neighbours drawn together: 3, 7, 8, 9 are 3 and 7-9."""
    named = all(bar for bar, _ in notes)
    places = list(dict.fromkeys(bar if named else str(index + 1) for bar, index in notes))
    runs: list[list[str]] = []
    for place in places:
        if runs and place.isdecimal() and runs[-1][-1].isdecimal() and int(place) == int(runs[-1][-1]) + 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    word = f"{'bar' if named else 'note'}{'s' * (len(places) > 1)}"
    return word, [run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]
