"""The grips of a card of what to record, as `gripway listen --card --format json` writes it."""

import json
from pathlib import Path

from gripway.catalog.own_files.own_file import own_text
from gripway.errors import RequestError

NEXT_STEP = "Make the card anew: gripway listen --card SCORE --format json --out card.json"


def asked_grips(path: Path) -> tuple[str, ...]:
    """The grips of a card in its order, each as `PITCH=GRIP`. Raises RequestError for what is no card."""
    try:
        data = json.loads(own_text(path, RequestError))
        return tuple(f"{_text(each['pitch'])}={_text(each['grip'])}" for each in data["grips"])
    except (ValueError, KeyError, TypeError, RecursionError):
        raise RequestError("is no card of what to record", place=str(path), next_step=NEXT_STEP) from None


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    return value
