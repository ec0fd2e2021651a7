"""Where the answer goes: standard output, or a file that is never the input."""

import json
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from gripway.cli.argument_words import in_options
from gripway.cli.options.together import together
from gripway.cli.stderr_messages import MOST_REMARKS, VERBOSE, is_asked, quiet_option, say, verbose_option
from gripway.cli.streams import drop_stdout
from gripway.display import SCHEMA
from gripway.errors import RequestError
from gripway.files import check_writable, write_whole
from gripway.model.passage import Remark

_ENCODER = json.JSONEncoder(ensure_ascii=False)


out_option = together(
    click.option(
        "--out",
        "-o",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Write here instead of to the screen.",
    ),
    quiet_option,
    verbose_option,
)
"""--out, --quiet and --verbose, for every command that answers in a file or on the screen."""


def write_out(answer: str | bytes | Iterable[str], out: Path | None, *inputs: Path | None) -> None:
    """Write text (as UTF-8, in one piece or piece by piece) or bytes to `out`, else to standard output.

    The file appears whole or not at all. Raises RequestError when `out` is one of the input
    files, no plain file, read only, or cannot be written.
    """
    data = _encoded(answer)
    if out is None:
        _to_stdout(data)
        return
    check_out(out, *inputs)
    with writing(out):
        write_whole(out, data)
    say(f"wrote {out}")


def _encoded(answer: str | bytes | Iterable[str]) -> bytes | Iterable[bytes]:
    if isinstance(answer, str):
        return answer.encode()
    return answer if isinstance(answer, bytes) else (piece.encode() for piece in answer)


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """RequestError with the name of the file or folder where it turns out that it cannot be written."""
    try:
        yield
    except OSError as problem:
        raise RequestError(
            f"cannot be written: {problem.strerror}", place=str(out), next_step="Choose another --out"
        ) from None


def _to_stdout(data: bytes | Iterable[bytes]) -> None:
    try:
        sys.stdout.buffer.writelines((data,) if isinstance(data, bytes) else data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:  # the reader has gone: nothing more to say
        drop_stdout()
    except OSError as problem:
        drop_stdout()
        raise RequestError(
            f"cannot be written: {problem.strerror}",
            place="standard output",
            next_step="Make room for it, or name a file with --out",
        ) from None


def check_out(out: Path | None, *inputs: Path | None) -> None:
    """Refuse an output that is an input (`-` is standard input), or that no answer can go into.

    Before any work is done.
    """
    if out is None:
        return
    with writing(out):
        check_writable(out)
        same = any(_is_same(out, path) for path in inputs if path is not None)
    if same:
        raise RequestError(
            "the output would overwrite the input", place=str(out), next_step="Choose another --out"
        )


def check_no_screen(name: str) -> None:
    """Refuse to show a compressed score on a terminal; `name` is a file it could go into."""
    if sys.stdout.isatty():
        raise RequestError(
            "a compressed score is nothing for a screen", next_step=f"Name a file: --out {name}"
        )


def _is_same(out: Path, path: Path) -> bool:
    """Whether both names lead to one file, whatever links there are."""
    if not out.exists():
        return False
    if str(path) == "-":
        return os.path.samestat(out.stat(), os.fstat(0))
    return path.exists() and out.samefile(path)


def as_json(data: dict[str, Any]) -> str:
    """JSON text as the commands print it: one line a key, one line an item of a list of objects.

    Its first key is `schema`.
    """
    return "".join(json_pieces({"schema": SCHEMA, **data}))


def json_pieces(data: dict[str, Any]) -> Iterator[str]:
    """The same piece by piece; an iterator among the values stands for a list of objects not made yet."""
    opening = "{"
    for key, value in data.items():
        yield f"{opening}{_ENCODER.encode(key)}: "
        yield from _value(value)
        opening = ",\n "
    yield "}\n" if data else "{}\n"


def _value(value: Any) -> Iterator[str]:
    of_objects = isinstance(value, Iterator) or (
        value and isinstance(value, list) and isinstance(value[0], dict)
    )
    if not of_objects:
        yield _ENCODER.encode(value)
        return
    opening = "["
    for item in value:
        yield "[\n  " if opening == "[" else ",\n  "
        yield _ENCODER.encode(item)
        opening = ""
    yield f"{opening}]"


def tell(remarks: tuple[Remark, ...]) -> None:
    """Say on standard error what was assumed, with its place."""
    most = len(remarks) if is_asked(VERBOSE) else MOST_REMARKS
    for remark in remarks[:most]:
        place = f"bar {remark.bar}: " if remark.bar else ""
        say(f"remark: {place}{in_options(remark.text)}")
    if len(remarks) > most:
        say(f"remark: and {len(remarks) - most} more (--verbose says them)")
