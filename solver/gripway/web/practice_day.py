"""The plan of the day for the passage that is open, going on from what the browser's log says."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from msgspec import Meta, field
from starlette.responses import Response

from gripway.page.browser_data.drill_data import day_data
from gripway.practice.plan.log_reading import history_of
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import MOST_MINUTES, PracticeTime, practise
from gripway.web.asking import Request, asked_of, request_of
from gripway.web.replies import answer
from gripway.web.turns import Turn
from gripway.web.work import OpenWork

MOST_ENTRIES = 2_000
"""Lines of a log that the page sends: years of practice on one part (judgement)."""

DAYS = 5
"""Days of a plan (as `gripway practise` plans without being asked)."""

MOST_AHEAD = 365
"""Further on than any plan of the page goes."""


class _Practice(Request, frozen=True):
    minutes: Annotated[int, Meta(ge=1, le=MOST_MINUTES, description="Give 1 to 180 minutes")] = 20
    width_mm: float = 160.0
    ahead: Annotated[int, Meta(ge=0, le=MOST_AHEAD, description="Give 0 for the day that is next to do")] = 0
    log: Annotated[tuple[Mapping[str, Any], ...], Meta(max_length=MOST_ENTRIES)] = field(default=())


def practice_day(work: OpenWork, body: Any, turn: Turn) -> Response:
    """A day of a plan: what to do, in order, each drill as music, as sound and with its log lines.

    It is the first day, or the one `ahead` by so many days if all goes well; the last where there are fewer.
    """
    request = request_of(body, _Practice, "practice")
    asked = asked_of(request.wishes)
    shared, reading = work.shared(asked), work.reading(asked)
    instrument, _ = work.instrument(asked)
    wishes = replace(work.full_wishes(asked), player=shared.mine.player, curve=False)
    time = PracticeTime(request.minutes, DAYS)
    with shared.held(turn):
        plan = practise(reading.passage, shared.mine, wishes, time, history_of(request.log))
    day = plan.days[min(request.ahead, len(plan.days) - 1)]
    width = float(round(min(600.0, max(60.0, request.width_mm))))
    return answer(day_data(plan, day, day_page(plan, day), instrument, width))
