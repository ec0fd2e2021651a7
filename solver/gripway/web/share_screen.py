"""What the screen says of a shared page: its address on the network, the code, and a picture of both."""

import io
import ipaddress
import socket

from gripway.errors import RequestError

ELSEWHERE = ("192.0.2.1", 9)
"""An address for examples (RFC 5737): asking for the way there sends nothing, and tells our own address."""

WARNING = (
    "Careful: the local network carries all of it unencrypted, the code too. Whoever can listen there can "
    "read it. Share on a network you trust, and end it (Ctrl-C) when you are done."
)


def network_address() -> str:
    """Our address on the local network. Raises RequestError without one, and for a public one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(ELSEWHERE)
            address = str(way.getsockname()[0])
        except OSError:
            address = ""
    if not address or not shareable(address):
        raise RequestError(
            f"{address or 'no address'} is no address on a local network",
            place="--share",
            next_step="Join the network your tablet is in, or serve without --share",
        )
    return address


def shareable(address: str) -> bool:
    """Whether an address is one of a local network, which the open internet cannot reach."""
    found = ipaddress.ip_address(address)
    return found.is_private and not (found.is_loopback or found.is_unspecified)


def invitation(address: str, code: str, *, may_change: bool) -> str:
    """What to do with a code, and its picture."""
    import segno

    shown = f"{code[: len(code) // 2]}-{code[len(code) // 2 :]}"
    may = "guests may change all that you may" if may_change else "guests look and listen, and change nothing"
    picture = io.StringIO()
    segno.make(f"{address}#{code}", error="m").terminal(picture, compact=True)
    return (
        f"Shared at {address} for one device, with the code {shown} ({may}):\n{picture.getvalue()}{WARNING}"
    )
