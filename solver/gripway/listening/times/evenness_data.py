"""The evenness of a passage in one sentence, and as plain data for the JSON."""

from typing import Any

from gripway.display import counted, rounded
from gripway.listening.times.evenness import Evenness, HeardChange
from gripway.listening.times.rank_correlation import RankCorrelation
from gripway.model.passage import quarters_per_minute
from gripway.route.result import Route
from gripway.route.words.place_words import change_name

MOST_NAMED = 3


def evenness_sentence(heard: Evenness, route: Route) -> str:
    """What to practise: the changes that came latest, or that it is even."""
    late = heard.late
    if not late:
        was = "was" if len(heard.missed) == 1 else "were"
        missed = f", but {counted(len(heard.missed), 'note')} {was} not heard" if heard.missed else ""
        return f"It is even: no change comes late{missed}."
    named = [f"{change_words(each, route)} ({each.late_ms:+.0f} ms)" for each in late[:MOST_NAMED]]
    more = f", and {len(late) - MOST_NAMED} more" if len(late) > MOST_NAMED else ""
    return f"Practise the changes that come late: {'; '.join(named)}{more}."


def change_words(change: HeardChange, route: Route) -> str:
    """`E6 to F#6 in bar 3`."""
    bar = route.notes[change.to].note.bar
    return change_name(route, change.to) + (f" in bar {bar}" if bar else f", note {change.to + 1}")


def agreement_words(found: RankCorrelation | None) -> str:
    """What the agreement is, and what may be concluded."""
    if found is None:
        return "Too few changes to say how far gripway's loads go with what was heard."
    sure = (
        "gripway's loads tell something of where you are late"
        if found.low > 0.0
        else "gripway's loads tell nothing sure of where you are late"
        if found.high >= 0.0
        else "you are late elsewhere than gripway expects"
    )
    return (
        f"Agreement with gripway's loads: rank correlation {found.correlation:+.2f} ({found.low:+.2f} to "
        f"{found.high:+.2f}, 95%) over {found.count} changes: {sure}."
    )


def tempo_found(heard: Evenness, route: Route) -> float:
    """Quarters a minute as they were heard, 0 where the passage has no tempo in quarters."""
    return quarters_per_minute(route.passage) * heard.tempo_share


def evenness_data(heard: Evenness, route: Route) -> dict[str, Any]:
    """The JSON object that `gripway evenness --format json` prints."""
    notes = route.notes
    return {
        "sentence": evenness_sentence(heard, route),
        "file": heard.source,
        "tempo": round(tempo_found(heard, route), 1),
        "spread_ms": round(heard.spread_ms, 1),
        "notes": [
            {
                "id": note.note.id,
                "bar": note.note.bar,
                "pitch": note.note.pitch.name,
                "onset_s": rounded(onset, 4),
            }
            for note, onset in zip(notes, heard.onsets_s, strict=True)
        ],
        "changes": [
            {
                "to": each.to,
                "available_ms": round(each.available_ms, 1),
                "late_ms": round(each.late_ms, 1),
                "late": each.is_late,
                "load": rounded(each.load, 3),
                "expected_late": each.is_expected,
            }
            for each in heard.changes
        ],
        "agreement": None
        if heard.agreement is None
        else {
            "rank_correlation": round(heard.agreement.correlation, 3),
            "low": round(heard.agreement.low, 3),
            "high": round(heard.agreement.high, 3),
            "changes": heard.agreement.count,
        },
    }
