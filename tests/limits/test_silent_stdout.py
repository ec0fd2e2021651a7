"""What C prints while it is hushed never comes out, what Python prints before and after does."""

import subprocess
import sys

SCRIPT = """
from ctypes import CDLL
from threading import Thread
from gripway.limits.silent_stdout import hushed
print("before")
def talk():
    with hushed():
        CDLL(None).printf(b"from C\\n")
talkers = [Thread(target=talk) for _ in range(4)]
for each in talkers:
    each.start()
for each in talkers:
    each.join()
with hushed(), hushed():
    CDLL(None).puts(b"from C")
CDLL(None).puts(b"C again")
CDLL(None).fflush(None)
print("after")
"""


def test_only_what_is_printed_outside_comes_out() -> None:
    """Held back by C until its buffer is full, or in several threads at once: nothing gets through."""
    ran = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True)
    assert ran.stdout == "before\nC again\nafter\n"


def test_closed_output_is_no_trouble() -> None:
    """A command whose output is closed goes on."""
    script = "import os\nfrom gripway.limits.silent_stdout import hushed\nos.close(1)\nwith hushed(): pass"
    assert subprocess.run([sys.executable, "-c", script], check=True).returncode == 0
