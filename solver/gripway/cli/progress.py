"""Progress on standard error while a long passage is worked on."""

import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager

from gripway.cli.talk import QUIET, is_asked
from gripway.route.solve import Progress

LONG_PASSAGE = 1500
"""Notes from which progress is shown."""


@contextmanager
def progress_on_stderr(notes: int) -> Iterator[Progress | None]:
    """A progress bar for a long passage when somebody watches standard error, else nothing."""
    if notes < LONG_PASSAGE or not sys.stderr.isatty() or is_asked(QUIET):
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(f"{notes} notes", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


@contextmanager
def progress_when_long(what: str, long: int) -> Iterator[Progress | None]:
    """A progress bar once it turns out that there are at least `long` of them to do, else nothing."""
    if not sys.stderr.isatty() or is_asked(QUIET):
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with ExitStack() as stack:
        bar = Bar(console=Console(stderr=True), transient=True)

        def told(done: int, total: int) -> None:
            if total < long:
                return
            if not bar.tasks:
                stack.enter_context(bar)
                bar.add_task(f"{total} {what}", total=total)
            bar.update(bar.tasks[0].id, completed=done)

        yield told
