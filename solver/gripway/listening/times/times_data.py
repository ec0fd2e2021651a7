"""What recordings say of a player's fingers as plain data, for the JSON."""

from collections.abc import Sequence
from typing import Any

from gripway.display import rounded
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.times.heard_times import HeardTimes
from gripway.listening.times.own_fit import FingerFit, PairTakes
from gripway.listening.times.times_sentence import times_sentence
from gripway.model.pitch import plain_name


def card_data(pairs: Sequence[FingerPair]) -> dict[str, Any]:
    """The JSON object that `gripway own-times --format json` prints: the pairs to record."""
    return {"record": [_pair_data(pair) for pair in pairs]}


def heard_data(heard: HeardTimes) -> dict[str, Any]:
    """The JSON object that `gripway own-times FILE... --format json` prints."""
    return {
        "sentence": times_sentence(heard),
        "date": heard.date,
        "counts": heard.counts,
        "takes": [
            {
                "file": each.source,
                "pair": _names(each.pair),
                "notes_per_s": round(each.rate.notes_per_s, 3),
                "note_ms": round(each.rate.note_ms, 2),
                "uneven_share": round(each.rate.uneven_share, 4),
                "periods": each.rate.periods,
                "stumbles": each.rate.stumbles,
            }
            for each in heard.trills
        ],
        "scales": [
            {
                "file": each.source,
                "scale": [plain_name(each.run.low), plain_name(each.run.high)],
                "note_ms": round(each.take.note_ms, 2),
                "uneven_share": round(each.take.uneven_share, 4),
                "even": each.take.is_even,
            }
            for each in heard.scales
        ],
        "refused": [
            {"place": each.place, "what": each.what, "next_step": each.next_step} for each in heard.refused
        ],
        "pairs": [_taken(each, heard) for each in heard.pairs],
        "missing": [pair.name for pair in heard.missing],
        "fit": _fit_data(heard, heard.fit) if heard.fit else None,
        "limits": [
            {
                "scale": each.name,
                "law_ms": round(each.law_ms, 1),
                "quickest_even_ms": rounded(each.quickest_even_ms),
                "slowest_uneven_ms": rounded(each.slowest_uneven_ms),
            }
            for each in heard.limits
        ],
        "line": None
        if heard.line is None
        else {
            "factor": round(heard.line.factor, 3),
            "spread": round(heard.line.spread, 3),
            "scales": heard.line.scales,
        },
    }


def _pair_data(pair: FingerPair) -> dict[str, Any]:
    return {
        "pair": _names(pair),
        "grips": [grip.text for grip in pair.grips],
        "fingers": list(pair.fingers),
    }


def _taken(each: PairTakes, heard: HeardTimes) -> dict[str, Any]:
    left_out = next(out for out in heard.fit.left_out if out.pair == each.pair) if heard.fit else None
    return {
        **_pair_data(each.pair),
        "takes": len(each.note_ms),
        "note_ms": round(left_out.measured_ms, 1) if left_out else None,
        "left_out_ms": round(left_out.predicted_ms, 1) if left_out else None,
        "tables_ms": round(left_out.tables_ms, 1) if left_out else None,
    }


def _fit_data(heard: HeardTimes, fit: FingerFit) -> dict[str, Any]:
    return {
        "base_ms": round(fit.base_ms, 1),
        "base_spread_ms": round(fit.base_spread_ms, 1),
        "tables_base_ms": heard.tables_base_ms,
        "fingers": [
            {
                "finger": finger,
                "weight": round(weight, 3),
                "spread": round(fit.spreads[finger], 3),
                "tables_weight": heard.tables_weights[finger],
            }
            for finger, weight in fit.weights.items()
        ],
        "take_share": round(fit.take_share, 4),
        "widened": round(fit.widened, 3),
        "left_out_error_share": round(fit.error_share, 4),
        "tables_error_share": round(fit.tables_error_share, 4),
    }


def _names(pair: FingerPair) -> list[str]:
    return [plain_name(pair.low), plain_name(pair.high)]
