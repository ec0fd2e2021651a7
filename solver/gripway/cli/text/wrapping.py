"""Running text in lines of a width: words and hyphened names stay whole."""

import textwrap

WIDTH = 100
"""Columns of text that is not made for a terminal of its own width."""


def wrapped(text: str, width: int = WIDTH, begin: str = "", later: str = "") -> str:
    """The text in lines of at most `width`, the first led by `begin`, the others by `later`."""
    return textwrap.fill(
        " ".join(text.split()),
        width,
        initial_indent=begin,
        subsequent_indent=later,
        break_long_words=False,
        break_on_hyphens=False,
    )
