"""Makes every output this project shows again: the files of this folder, and the blocks of the documents.

    python examples/regenerate.py

The documents are the README, DEVELOPERS.md, the README of the examples and the manual.
In a document, a `console` block holds commands (`$ ...`) with what they print, and a `python`
block may be followed by a `text` block with what it prints. A block after a comment that
begins with `<!-- not run:` is left alone.
"""

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "examples"
MANUAL = tuple(f"examples/manual/{path.name}" for path in sorted((EXAMPLES / "manual").glob("*.md")))
DOCUMENTS = ("README.md", "DEVELOPERS.md", "examples/README.md", *MANUAL)
FENCE = re.compile(
    r"^```(console|python)\n(.*?)^```\n(?:\n?^```text\n(.*?)^```\n)?", re.MULTILINE | re.DOTALL
)
NOT_RUN = re.compile(r"<!-- not run:[^>]*-->\s*\Z")
PICTURES = {
    "ladder_cell.player.out.svg": "gripway finger examples/ladder_cell.musicxml --player examples/player.toml"
    " --format html | python examples/picture.py"
}
"""Pictures of engraved music: another version of the engraver may place a note elsewhere."""

MOST_SECONDS = 120
GAPS = 1
"""Exit code of an answer in which some note has no grip: an example may show that."""


def run(command: str) -> str:
    """What a command line prints to standard output; RuntimeError when it cannot be carried out."""
    return _printed(["bash", "-o", "pipefail", "-c", command])


def run_python(code: str) -> str:
    """What a piece of Python prints; RuntimeError when it fails."""
    return _printed([sys.executable, "-c", code])


def _printed(arguments: list[str]) -> str:
    """Standard output of a process in the project's own folder, without colour."""
    own = {name: value for name, value in os.environ.items() if name not in ("FORCE_COLOR", "NO_COLOR")}
    path = os.pathsep.join([str(Path(sys.executable).parent), own.get("PATH", "")])  # our gripway first
    done = subprocess.run(  # noqa: S603 - what is run stands in our own documents
        arguments,
        cwd=ROOT,
        env=own | {"PATH": path, "COLUMNS": "100", "PYTHONIOENCODING": "utf-8", "PYTHONWARNINGS": "error"},
        capture_output=True,
        timeout=MOST_SECONDS,
        check=False,
    )
    if done.returncode not in (0, GAPS) or b"Traceback" in done.stderr:
        raise RuntimeError(f"{arguments[-1]}\n{done.stderr.decode()}")
    return done.stdout.decode()


def commands() -> dict[str, str]:
    """The command of each output file of the folder."""
    return tomllib.loads((EXAMPLES / "commands.toml").read_text(encoding="utf-8"))


def console(block: str) -> str:
    """A console block with the output of its commands as it is now."""
    asked = re.findall(r"^\$ (.*)\n", block, re.MULTILINE)
    return "\n".join(f"$ {command}\n{run(command)}" for command in asked)


def document(text: str) -> str:
    """A document with all its shown outputs as they are now."""

    def again(match: re.Match[str]) -> str:
        kind, block, shown = match.groups()
        if NOT_RUN.search(text[: match.start()]):
            return match[0]
        if kind == "console":
            rest = "" if shown is None else match[0][match[0].index("```text") - 1 :]
            return f"```console\n{console(block)}```\n{rest}"
        printed = run_python(block)
        return f"```python\n{block}```\n" + (f"\n```text\n{printed}```\n" if printed or shown else "")

    return FENCE.sub(again, text)


def main() -> None:
    """Write everything that has changed and name it."""
    wanted = {EXAMPLES / name: run(command) for name, command in (commands() | PICTURES).items()}
    present = (ROOT / name for name in DOCUMENTS)
    wanted |= {path: document(path.read_text(encoding="utf-8")) for path in present}
    for path, text in wanted.items():
        if not path.exists() or path.read_bytes() != text.encode():
            path.write_bytes(text.encode())
            sys.stdout.write(f"changed: {path.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
