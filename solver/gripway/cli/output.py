"""Where the answer goes: standard output, or a file that is never the input."""

import json
import os
import sys
import tempfile
from pathlib import Path
from typing import Any

import click

from gripway.errors import RequestError
from gripway.model.passage import Remark


def write_out(answer: str | bytes, out: Path | None, source: Path | None = None) -> None:
    """Write text (as UTF-8) or bytes to `out`, else to standard output.

    The file appears whole or not at all. Raises RequestError when `out` is the input file, a
    folder, or cannot be written.
    """
    data = answer.encode() if isinstance(answer, str) else answer
    if out is None:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    check_out(out, source)
    try:
        with tempfile.NamedTemporaryFile(dir=out.parent, prefix=f".{out.name}.", delete=False) as stream:
            stream.write(data)
        Path(stream.name).chmod(0o666 & ~_umask())
        Path(stream.name).replace(out)
    except OSError as problem:
        raise RequestError(
            f"cannot be written: {problem.strerror}", place=str(out), next_step="Choose another --out"
        ) from None
    click.echo(f"wrote {out}", err=True)


def check_out(out: Path | None, source: Path | None) -> None:
    """Refuse an output that is the input or a folder, before any work is done."""
    if out is None:
        return
    if out.is_dir():
        raise RequestError("is a folder", place=str(out), next_step="Name a file in it")
    if source is not None and out.exists() and source.exists() and out.samefile(source):
        raise RequestError(
            "the output would overwrite the input", place=str(out), next_step="Choose another --out"
        )


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def as_json(data: dict[str, Any]) -> str:
    """JSON text as the commands print it: one line a key, one line an item of a list of objects."""
    entries = (f"{json.dumps(key)}: {_value(value)}" for key, value in data.items())
    return "{" + ",\n ".join(entries) + "}\n"


def _value(value: Any) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n  " + ",\n  ".join(json.dumps(item, ensure_ascii=False) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def tell(remarks: tuple[Remark, ...], most: int = 12) -> None:
    """Say on standard error what was assumed, with its place."""
    for remark in remarks[:most]:
        place = f"bar {remark.bar}: " if remark.bar else ""
        click.echo(f"note: {place}{remark.text}", err=True)
    if len(remarks) > most:
        click.echo(f"note: and {len(remarks) - most} more remarks (all in --format json)", err=True)
