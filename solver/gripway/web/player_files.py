"""A player's own file on the page: its text becomes wishes, and what no wish can say is named."""

from typing import Any

from starlette.responses import Response

from gripway.catalog.own_files.player_file import PlayerFile, bans_of, given, player_tables
from gripway.catalog.own_files.typed import Table
from gripway.model.pitch import plain_name
from gripway.model.player import Ban
from gripway.web.asking import request_of
from gripway.web.replies import answer


class _PlayerText(Table, frozen=True):
    name: str = "player file"
    text: str = ""


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
    }
    return [words for words, there in found.items() if there]
