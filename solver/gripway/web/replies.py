"""Answers as JSON, and refusals in the three parts every error of ours has."""

import json
from typing import Any

from starlette.responses import Response

from gripway.errors import GripwayError

JSON_TYPE = "application/json"


def answer(data: Any, status: int = 200) -> Response:
    """Data as JSON."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return Response(text.encode(), status_code=status, media_type=JSON_TYPE)


def refusal(status: int, code: str, what: str, next_step: str = "", place: str = "") -> Response:
    """What is wrong, where, and what to do; `code` is for the page."""
    error = {"code": code, "what": what, "place": place, "next_step": next_step}
    return answer({"error": error}, status)


def refused(problem: GripwayError) -> Response:
    """An error of ours as an answer."""
    return refusal(400, "request", problem.what, problem.next_step, problem.place)


NOTHING = Response(status_code=204)
"""The answer to whoever was stopped, by a newer wish or by the person: nothing went wrong."""


def attachment(data: bytes, name: str, media_type: str) -> Response:
    """A file to be kept; `name` is one of ours, never the user's."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=media_type, headers=headers)
