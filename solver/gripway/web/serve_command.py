"""`gripway serve`: the local page, on this machine only, until Ctrl-C.

The command stands here, as rooms of one floor do not know each other; cli loads it by its name.
"""

import socket
import webbrowser

import click

from gripway.errors import RequestError

ADDRESS = "127.0.0.1"
"""Loopback: nobody outside of this machine can reach it. There is no option for another."""

NAMES = (ADDRESS, "localhost")
USUAL_PORT = 8460

EPILOG = """
\b
Examples:
  gripway serve
  gripway serve --open
  gripway serve --port 9000

The page runs on this machine only. Nothing leaves it, and nothing is kept but what you save.
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
def serve(port: int, open_it: bool) -> int:
    """Serve the page for this machine's browser until Ctrl-C."""
    import uvicorn

    from gripway.web.server import app

    listening = _listen(port)
    port = listening.getsockname()[1]
    address = f"http://{ADDRESS}:{port}/"
    hosts = frozenset(f"{name}:{port}" for name in NAMES)
    config = uvicorn.Config(
        app(hosts),
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
    click.echo(f"The page is at {address} (end with Ctrl-C)", err=True)
    if open_it:
        webbrowser.open(address)
    try:
        uvicorn.Server(config).run(sockets=[listening])
    except KeyboardInterrupt:
        pass
    finally:
        listening.close()
    click.echo("The page is closed.", err=True)
    return 0


def _listen(port: int) -> socket.socket:
    """A socket on this machine's own address. Raises RequestError where the port is taken."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((ADDRESS, port))
    except OSError as problem:
        listening.close()
        raise RequestError(
            f"port {port} cannot be used: {problem.strerror}",
            place="--port",
            next_step="Close the other gripway serve, or choose another --port (0 takes any free one)",
        ) from None
    listening.listen(128)
    return listening
