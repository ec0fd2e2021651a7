"""`gripway serve`: the local page, on this machine only (or shared with whom one lets in), until Ctrl-C.

The command stands here, as rooms of one floor do not know each other; cli loads it by its name.
"""

import socket
import webbrowser
from typing import TYPE_CHECKING

import click

from gripway.errors import RequestError
from gripway.free_memory import collect_seldom
from gripway.web.share_screen import invitation, network_address

if TYPE_CHECKING:
    from gripway.web.sharing import Share

ADDRESS = "127.0.0.1"
"""Loopback: nobody outside of this machine can reach it. Only --share listens elsewhere as well."""

NAMES = (ADDRESS, "localhost")
USUAL_PORT = 8460

EPILOG = """
\b
Examples:
  gripway serve
  gripway serve --open
  gripway serve --port 9000
  gripway serve --share

The page runs on this machine only. Nothing leaves it without --share, and nothing is kept but what you
save.
End it with Ctrl-C.
"""


@click.command(epilog=EPILOG)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=USUAL_PORT,
    show_default=True,
    metavar="N",
    help="Port of the page; 0 takes any free one.",
)
@click.option("--open", "open_it", is_flag=True, help="Open the page in the browser.")
@click.option("--share", is_flag=True, help="Let devices of the local network in, each with a code.")
@click.option("--guests-change", is_flag=True, help="With --share: guests may do all that you may.")
def serve(port: int, open_it: bool, share: bool, guests_change: bool) -> int:
    """Serve the page for this machine's browser until Ctrl-C."""
    import uvicorn

    from gripway.web.server import app

    if guests_change and not share:
        raise RequestError(
            "nobody is let in without --share", place="--guests-change", next_step="Give --share, too"
        )
    ours = network_address() if share else ""
    listening = [_listen(ADDRESS, port)]
    port = listening[0].getsockname()[1]
    address = f"http://{ADDRESS}:{port}/"
    hosts = frozenset(f"{name}:{port}" for name in NAMES)
    click.echo(f"The page is at {address} (end with Ctrl-C)", err=True)
    sharing = None
    try:
        if share:
            listening.append(_listen(ours, port))
            sharing = _shared(f"{ours}:{port}", guests_change)
        config = uvicorn.Config(
            app(hosts, sharing),
            log_level="warning",
            access_log=False,
            server_header=False,
            date_header=False,
            proxy_headers=False,
            ws="none",
            timeout_keep_alive=30,
            timeout_graceful_shutdown=1,
            limit_concurrency=64,
        )
        if open_it:
            webbrowser.open(address)
        collect_seldom()  # the command has it off, which a page that stays open for days would feel
        uvicorn.Server(config).run(sockets=listening)
    except KeyboardInterrupt:
        pass
    finally:
        for each in listening:
            each.close()
    click.echo("The page is closed.", err=True)
    return 0


def _shared(host: str, may_change: bool) -> "Share":
    """How the page is shared at a host; each code is shown when the one before is used up."""
    from gripway.web.sharing import Codes, Share

    def told(code: str) -> None:
        click.echo(invitation(f"http://{host}/", code, may_change=may_change), err=True)

    return Share(frozenset({host}), Codes(told), may_change)


def _listen(address: str, port: int) -> socket.socket:
    """A socket on one of this machine's addresses. Raises RequestError where the port is taken."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as problem:
        listening.close()
        raise RequestError(
            f"port {port} cannot be used: {problem.strerror}",
            place="--port",
            next_step="Close the other gripway serve, or choose another --port (0 takes any free one)",
        ) from None
    listening.listen(128)
    return listening
