"""One task for every package of pyproject.toml: fails where an answer is not as it must be."""

import json
import subprocess
import sys
import urllib.request
from importlib.metadata import version
from pathlib import Path

FOLDER = Path(sys.argv[1])
GRIPWAY = [sys.executable, "-m", "gripway"]
ROOFTOP, LADDER = "examples/rooftop_study.musicxml", "examples/ladder_cell.musicxml"
ABC = b"X:1\nT:T\nM:4/4\nL:1/8\nK:C\nefga|\n"

TASKS = {
    "click": (["--help"], b"Examples:"),
    "rich": (["finger", ROOFTOP], b"bar"),
    "pandas": (["finger", ROOFTOP, "--format", "csv"], b"grip"),
    "numpy": (["finger", "--notes", "E6 F#6 G#6", "--tempo", "120", "--found"], b"E6"),
    "ortools": (["practise", LADDER, "--minutes", "20", "--days", "5"], b"Day"),
    "networkx": (["graph", "--from", "C6", "--to", "D6", "--format", "graphml"], b"<graphml"),
    "verovio": (["finger", ROOFTOP, "--format", "html"], b"<svg"),
    "jinja2": (["finger", ROOFTOP, "--format", "html"], b"<h1>"),
    "markupsafe": (["cells", "--key", "A", "--format", "html"], b"<symbol"),
    "msgspec": (["finger", ROOFTOP, "--player", "examples/player.toml", "--format", "csv"], b"grip"),
    "platformdirs": (["grips", "F#6", "--found"], b"F#6"),
    "resvg-py": (["diagram", "F#6", "--format", "png"], b"\x89PNG"),
    "pyarrow": (["library", "examples", "--out", str(FOLDER / "library"), "--parquet"], b"scores"),
    "music21": (["finger", "-", "--format", "json"], b'"optimal"'),
}
"""A package, what is asked of it, and what must stand in the answer."""


def asked(package: str) -> None:
    """One command; its exit code and what it says are looked at."""
    words, expected = TASKS[package]
    done = subprocess.run([*GRIPWAY, *words], input=ABC, capture_output=True, check=False)  # noqa: S603
    if done.returncode not in (0, 1) or expected not in done.stdout or b"Warning" in done.stderr:
        sys.exit(f"{package} {version(package)}: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    print(f"{package} {version(package)}: {words[0]} works")


def served() -> None:
    """The page: starlette and uvicorn."""
    with subprocess.Popen([*GRIPWAY, "serve", "--port", "0"], stderr=subprocess.PIPE, text=True) as page:  # noqa: S603
        assert page.stderr is not None  # noqa: S101
        address = page.stderr.readline().split()[4]
        try:
            request = urllib.request.Request(  # noqa: S310 - our own address
                f"{address}open", b'{"notes": "E6 F#6"}', {"Content-Type": "application/json"}
            )
            with urllib.request.urlopen(request, timeout=60) as answer:  # noqa: S310
                if json.load(answer)["notes"] != 2:
                    sys.exit("the page has not two notes")
        finally:
            page.terminate()
    for package in ("starlette", "uvicorn"):
        print(f"{package} {version(package)}: the page works")


def invited() -> None:
    """The picture of a shared page's address: on a machine without a network nothing else draws it."""
    words = (
        "from gripway.web.share_screen import invitation\n"
        "print(invitation('http://192.0.2.2:1/', 'ABCD', may_change=False))"
    )
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, check=False)  # noqa: S603
    if "\N{FULL BLOCK}".encode() not in done.stdout:
        sys.exit(f"segno: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    drawn = "segno"
    print(f"{drawn} {version(drawn)}: a QR picture is drawn")


def heard() -> None:
    """A recording that is no WAV."""
    import soundfile

    flac = FOLDER / "takes.flac"
    soundfile.write(flac, *soundfile.read("examples/f_sharp_takes.wav"))
    words = ["listen", str(flac), "--grip", "F#6=T 1 3 | 2 Eb", "--dry-run"]
    done = subprocess.run([*GRIPWAY, *words], capture_output=True, check=False)  # noqa: S603
    if done.returncode != 0 or b"F#6" not in done.stdout:
        sys.exit(f"soundfile: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    read = "soundfile"
    print(f"{read} {version(read)}: FLAC is heard")


def limited() -> None:
    """Whole-passage limits, which practise does not need."""
    words = ["finger", ROOFTOP, "--limit", "at most 1 unusual grips", "--format", "json"]
    done = subprocess.run([*GRIPWAY, *words], capture_output=True, check=False)  # noqa: S603
    if done.returncode not in (0, 1) or b'"limits"' not in done.stdout:
        sys.exit(f"limits: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    print(f"ortools {version('ortools')}: limits work")


def clustered() -> None:
    """A library on a cluster of one worker in this process."""
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp", dashboard_address=None
    ) as cluster:
        words = ["library", "examples", "--out", str(FOLDER / "cluster")]
        place = ["--scheduler", cluster.scheduler_address]
        done = subprocess.run([*GRIPWAY, *words, *place], capture_output=True, check=False)  # noqa: S603
    if done.returncode not in (0, 1) or b"scores" not in done.stdout:
        sys.exit(f"cluster: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    tried = "distributed"
    print(f"{tried} {version(tried)}: a cluster works")


for name in TASKS:
    asked(name)
clustered()
heard()
invited()
limited()
served()
