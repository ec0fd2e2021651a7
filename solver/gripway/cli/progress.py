"""Progress on standard error while a long passage is worked on."""

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from time import monotonic
from typing import TYPE_CHECKING

from gripway.cli.stderr_messages import QUIET, is_asked, say
from gripway.route.solve import Progress

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

    from gripway.library.run import RunProgress

LONG_PASSAGE = 1500
"""Notes from which progress is shown."""


def _bar() -> "Bar | None":
    """A bar that goes again, when somebody watches standard error."""
    if not sys.stderr.isatty() or is_asked(QUIET):
        return None
    from rich.console import Console
    from rich.progress import Progress as Bar

    return Bar(console=Console(stderr=True), transient=True)


@contextmanager
def progress_on_stderr(notes: int) -> Iterator[Progress | None]:
    """A progress bar for a long passage when somebody watches standard error, else nothing."""
    bar = _bar() if notes >= LONG_PASSAGE else None
    if bar is None:
        yield None
        return
    with bar:
        task = bar.add_task(f"{notes} notes", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


@contextmanager
def progress_when_long(what: str, long: int) -> Iterator[Progress | None]:
    """A progress bar once it turns out that there are at least `long` of them to do, else nothing."""
    bar = _bar()
    if bar is None:
        yield None
        return
    with ExitStack() as stack:

        def told(done: int, total: int) -> None:
            if total < long:
                return
            if not bar.tasks:
                stack.enter_context(bar)
                bar.add_task(f"{total} {what}", total=total)
            bar.update(bar.tasks[0].id, completed=done)

        yield told


@contextmanager
def library_progress() -> "Iterator[Callable[[RunProgress], None]]":
    """Told how far a run over a library has come: a bar with rate and time left, or a line each tenth."""
    began, bar = monotonic(), _bar()
    if bar is None:
        yield _each_tenth(began)
        return
    with bar:
        task = bar.add_task("", total=None)

        def told(step: "RunProgress") -> None:
            words = pace_words(step, monotonic() - began)
            bar.update(task, total=step.scores, completed=step.done, description=words)

        yield told


def _each_tenth(began: float) -> "Callable[[RunProgress], None]":
    """Says a line whenever another tenth of the scores is done."""
    said = 0

    def told(step: "RunProgress") -> None:
        nonlocal said
        tenth = 10 * step.done // step.scores
        if tenth > said and step.new:
            say(pace_words(step, monotonic() - began))
        said = max(said, tenth)

    return told


def pace_words(step: "RunProgress", seconds: float) -> str:
    """How far a run has come, its rate and the time left, from the seconds it has taken."""
    words = f"{step.done} of {step.scores} scores"
    if not step.new or seconds <= 0.0:
        return words
    left = seconds / step.new * (step.scores - step.done)
    minutes, rest = divmod(round(left), 60)
    time = f"{minutes // 60} h {minutes % 60} min" if minutes >= 60 else f"{minutes} min {rest} s"
    return f"{words}, {step.new_notes / seconds:.0f} notes a second, {time} left"
