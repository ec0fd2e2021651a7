"""All air on the page is of one scale: no margin, padding, gap or inset has a size of its own."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.web.test_static_files import STATIC

SHEETS = sorted(path for path in STATIC.rglob("*.css") if path.name != "print.css")
"""Paper has its own measure, the millimetre."""

SPACING = re.compile(
    r"(?<![\w-])((?:scroll-)?(?:margin|padding)(?:-[\w-]+)?|gap|row-gap|column-gap|inset|top|right|bottom|left)"
    r"\s*:\s*([^;}]+)"
)
LENGTH = re.compile(r"(?<![\w-])-?\d*\.?\d+(?:[a-z]+|%)")
HAIRLINE_PX = 3.0
SCALE = {"--s1": 0.25, "--s2": 0.5, "--s3": 0.75, "--s4": 1.0, "--s5": 1.5, "--s6": 2.5}

REASONED = {
    "left: -100vw": "the link past the header, out of sight until it has the focus",
    "padding-bottom: 60vh": "the music can be scrolled out from under the sheet of a chosen note",
}


def sizes(text: str) -> Iterator[tuple[str, str]]:
    """Each declaration of spacing with each length in it."""
    bare = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    for name, value in SPACING.findall(bare):
        for length in LENGTH.findall(value):
            yield f"{name}: {value.strip()}", length


def stray(text: str) -> list[str]:
    """Declarations with a length that is neither a step of the scale, a hairline, a share nor reasoned."""
    return [
        told
        for told, length in sizes(text)
        if told not in REASONED
        and not length.endswith("%")
        and not (length.endswith("px") and abs(float(length[:-2])) <= HAIRLINE_PX)
    ]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_all_spacing_is_of_the_scale(path: Path) -> None:
    """Margins, paddings, gaps and insets are steps of it; hairlines up to 3 px and shares are free."""
    assert stray(path.read_text(encoding="utf-8")) == []


def test_a_size_of_its_own_is_found() -> None:
    """The rule sees lengths in shorthands, in sums and below zero, and leaves names and comments alone."""
    assert stray("a { padding: 0 .4rem; }") == ["padding: 0 .4rem"]
    assert stray("a { inset: calc(var(--head) + 1rem) auto; }") == ["inset: calc(var(--head) + 1rem) auto"]
    assert stray("a { margin-left: -4px; }") == ["margin-left: -4px"]
    assert (
        stray("a { gap: var(--s2) 2px; left: 50%; width: 5rem; border-left: 9px solid; } /* top: 4rem */")
        == []
    )


def test_every_exception_is_in_use() -> None:
    """A reason for what is not there any more goes."""
    found = {told for path in SHEETS for told, _ in sizes(path.read_text(encoding="utf-8"))}
    assert set(REASONED) <= found


def test_the_scale_is_what_is_told() -> None:
    """Six steps, each larger than the one before, in one place."""
    text = (STATIC / "app.css").read_text(encoding="utf-8")
    told = {name: float(size) for name, size in re.findall(r"(--s\d): ([\d.]+)rem", text)}
    assert told == SCALE
    assert sorted(told.values()) == list(told.values())
