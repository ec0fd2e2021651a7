"""Progress on standard error while a long passage is worked on."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from gripway.route.solve import Progress

LONG_PASSAGE = 1500
"""Notes from which progress is shown."""


@contextmanager
def progress_on_stderr(count: int, what: str = "notes") -> Iterator[Progress | None]:
    """A progress bar for long work when somebody watches standard error, else nothing."""
    if count < LONG_PASSAGE or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(f"{count} {what}", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
