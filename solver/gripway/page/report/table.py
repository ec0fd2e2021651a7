"""A table of the report that scrolls by itself where the page is too narrow for it."""

from collections.abc import Iterable

from gripway.page.markup import Markup, join, tag


def table(caption: str, heads: Iterable[str], rows: Iterable[str]) -> Markup:
    """A table with its caption and the heads of its columns, in a box that is reached by keyboard."""
    head = tag("tr", *(tag("th", name, scope="col") for name in heads))
    whole = tag("table", tag("caption", caption), tag("thead", head), tag("tbody", join(rows)))
    label = f"Table: {caption}"
    return tag("div", whole, class_="scroll", tabindex="0", role="group", aria_label=label)
