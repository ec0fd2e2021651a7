"""`gripway serve`: on this machine only, with its address said, and ended quietly."""

import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager

from tests.cli.run_gripway import ask
from tests.patience import HANG_S


@contextmanager
def serving(*options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A running `gripway serve` and the address it prints."""
    command = [sys.executable, "-m", "gripway", "serve", *options]
    running = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert running.stderr is not None
        yield running, running.stderr.readline().split()[4]
    finally:
        running.kill()
        running.communicate()


def test_it_serves_the_page_on_loopback_and_ends_quietly() -> None:
    """The page answers at the printed address; Ctrl-C ends it with exit code 0 and no traceback."""
    with serving("--port", "0") as (running, address):
        assert address.startswith("http://127.0.0.1:")
        with urllib.request.urlopen(address, timeout=HANG_S) as answer:  # noqa: S310 - our own address
            assert b"<title>gripway</title>" in answer.read()
            assert "server" not in {name.lower() for name in answer.headers}
        running.send_signal(signal.SIGINT)
        said = running.communicate(timeout=HANG_S)
    assert running.returncode == 0
    assert said[0] == ""
    assert "Traceback" not in said[1]


def test_what_nothing_holds_any_more_is_given_back() -> None:
    """A page that stays open looks for rings of objects now and then: short answers do without."""
    watched = (
        "import gc, uvicorn\n"
        "uvicorn.Server.run = lambda *a, **k: print(gc.isenabled(), gc.get_freeze_count() > 0)\n"
        "from gripway.__main__ import launch\n"
        "launch()\n"
    )
    command = [sys.executable, "-c", watched, "serve", "--port", "0"]
    said = subprocess.run(command, capture_output=True, text=True, check=True, timeout=HANG_S)
    assert said.stdout.split() == ["True", "True"]


def test_a_port_in_use_is_one_clear_message() -> None:
    """Exit code 2, the port, and what to do."""
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = ask("serve", "--port", taken.getsockname()[1])
    assert done.code == 2
    assert "another --port" in done.err


def test_nothing_is_shared_unasked() -> None:
    """Without --share only loopback listens, and guests cannot be allowed anything."""
    with serving("--port", "0") as (running, address):
        port = int(address.rstrip("/").rpartition(":")[2])
        with closing(socket.socket()) as knocking:
            assert knocking.connect_ex(("127.0.0.2", port)) != 0, "another address of this machine"
        running.send_signal(signal.SIGINT)
        assert "Shared" not in running.communicate(timeout=HANG_S)[1]
    done = ask("serve", "--guests-change")
    assert done.code == 2
    assert "--share" in done.err


def test_there_is_no_way_to_serve_others() -> None:
    """No option for an address of one's own choice."""
    assert ask("serve", "--host", "0.0.0.0").code == 2  # noqa: S104 - that it is refused
