"""Other routes as a player reads them: what each takes more, and which notes have another grip."""

from typing import TYPE_CHECKING

from gripway.cli.text.differences_text import differences_text
from gripway.cli.text.terminal import print_table, words
from gripway.compare.alternatives import Choices, OtherRoute
from gripway.compare.route_diff import differences
from gripway.display import counted
from gripway.route.result import Route

if TYPE_CHECKING:
    from rich.console import Console

COLUMNS = ("route", "more", "what differs")


def alternatives_rows(console: "Console", route: Route, found: Choices) -> None:
    """The table of other routes, and a remark where there are fewer than were asked for."""
    what = counted(found.differ, "note")
    where = f" of bar {found.bar}" if found.bar else ""
    rows = [_row(route, found, number, choice) for number, choice in enumerate(found.others, start=1)]
    if rows:
        title = f"Other routes, each with another grip on at least {what}{where} than all before it"
        print_table(console, title, COLUMNS, rows)
    if any(not choice.proved for choice in found.others):
        console.print(
            words("(in brackets: the least that such a route takes more; less than told is not ruled out)\n")
        )
    if found.ended:
        other = "other route" if not rows else "further route"
        console.print(words(f"There is no {other} with another grip on {what}{where}.\n"))
    elif len(found.others) < found.asked:
        console.print(words("No more were found, and it is not sure that there are none.\n"))


def _row(route: Route, found: Choices, number: int, choice: OtherRoute) -> tuple[str, str, str]:
    changes = differences(route.passage, found.places, found.yours, choice.candidates)
    count = sum(len(change.notes) for change in changes)
    more = f"+{choice.effort_more:.2f}" + ("" if choice.proved else f" (+{choice.at_least:.2f})")
    return str(number), more, f"{counted(count, 'note')}: {differences_text(route.passage, changes)}"
