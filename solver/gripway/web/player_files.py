"""A person's own files on the page: their text becomes wishes, and what no wish can say is named."""

from typing import Any

from starlette.responses import Response

from gripway.asked.wishes import Wishes
from gripway.catalog.own_files.decisions_file import decisions_of
from gripway.catalog.own_files.player_file import PlayerFile, bans_of, given, player_tables
from gripway.catalog.own_files.tuner_list import cents_of
from gripway.catalog.own_files.typed import Table
from gripway.edition.decided_marks import remarks_on_bars
from gripway.errors import PlayerFileError
from gripway.model.decision import Decision
from gripway.model.passage import Passage
from gripway.model.pitch import plain_name
from gripway.model.player import Ban
from gripway.tasks.decisions import decided_in, of_no_part, with_decisions
from gripway.tasks.scores import whole_part
from gripway.web.asking import Request, asked_of, request_of
from gripway.web.replies import answer
from gripway.web.turns import Turn
from gripway.web.work import OpenWork

TABLE_OF_GRIPS = "index,id,bar,"
"""How the table of grips begins, which has all columns of a tuner's list among its own."""


class _PlayerText(Table, frozen=True):
    name: str = "player file"
    text: str = ""


class _Decisions(Request, frozen=True):
    name: str = "decisions"
    text: str = ""


def decisions(work: OpenWork, body: Any, _turn: Turn) -> Response:
    """The decisions of a file as pins of the chosen part, all its bars; `lost` has places and reasons.

    `unpinned` counts those that say of no grip that it stands; `moved` says which stand in other bars than
    they name. Raises DecisionsFileError for anything amiss.
    """
    request = request_of(body, _Decisions, "decisions file")
    asked = asked_of(request.wishes)
    reading, (instrument, _) = work.reading(asked), work.instrument(asked)
    known = decisions_of(request.text, request.name[:120])
    whole, wishes = whole_part(reading), Wishes(player=asked.player, bans=asked.bans)
    found = decided_in(known, reading, whole, instrument, wishes)
    pins = with_decisions(Passage(whole), instrument, wishes, found).pins
    lost = [*found.lost, *of_no_part(known, reading.parts)]
    return answer(
        {
            "pins": [
                {"note": pin.note, "grip": pin.grip.text}
                | ({"moving": " ".join(pin.moving.touches)} if pin.moving.mask else {})
                for pin in pins
            ],
            "lost": [f"{_place(each.decision)}: {each.words}" for each in lost],
            "unpinned": len(found.by_note) - len(pins),
            "moved": [remark.text for remark in remarks_on_bars(found)],
        }
    )


def _place(decision: Decision) -> str:
    return f"bar {decision.place.bar}, {decision.place.pitch.name}"


def tuner_answer(body: Any) -> Response:
    """The readings of a tuner's list as a wish. Raises PlayerFileError for anything amiss."""
    request = request_of(body, _PlayerText, "tuner's list")
    if request.text.startswith(TABLE_OF_GRIPS):
        raise PlayerFileError(
            "this is a table of grips for a spreadsheet, no tuner's list",
            place=request.name[:120],
            next_step="Open the session to go on with a work",
        )
    readings = [
        {
            "pitch": plain_name(own.pitch),
            "grip": own.grip.text,
            "cents": own.cents,
            "spread_cents": own.spread_cents,
            "vs_standard": own.vs_standard,
            "takes": own.takes,
            "date": own.date,
            "vs_spread_cents": own.vs_spread_cents,
        }
        for own in cents_of(request.text, request.name[:120])
    ]
    return answer({"wishes": {"cents": readings}})


def player_answer(body: Any) -> Response:
    """Flute, parts, dials and bans of a player file as wishes; `left` names what the page does not take.

    A tuner's list that the file names is not looked for. Raises PlayerFileError for anything amiss.
    """
    request = request_of(body, _PlayerText, "player file")
    file = player_tables(request.text, request.name[:120])
    wishes = {
        "flute": file.flute.instrument or None,
        "parts": sorted(file.flute.parts),
        "dials": dict(given(file.dials)),
        "bans": [_ban(ban) for ban in bans_of(file)],
    }
    return answer({"wishes": wishes, "left": _left(file)})


def _ban(ban: Ban) -> dict[str, str]:
    if ban.kind is not None:
        return {"kind": ban.kind}
    return {"pitch": plain_name(ban.pitch or 0), "grip": ban.grip.text if ban.grip else ""}


def _left(file: PlayerFile) -> list[str]:
    found = {
        "slower fingers": given(file.hands.slower),
        "little finger off": not file.hands.little_finger_supports,
        "known grips": file.known.grips,
        "the tuner's list": file.cents.file,
        "own finger times": file.measured.pairs,
    }
    return [words for words, there in found.items() if there]
