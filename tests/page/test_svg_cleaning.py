"""Drawings of an engraver made safe.

The hostile ones are elements and attributes of the SVG 2 specification that run or fetch something:
chapters 15 (script, events), 16 (links), 12.4 (images, foreign objects), 6 (styles).
"""

import pytest

from gripway.page.engraving.svg_cleaning import clean, glyphs_of, parse_drawing

HOSTILE = [
    "<script>alert(1)</script>",
    '<g onload="alert(1)"><path d="M0 0"/></g>',
    '<a href="https://example.org"><path d="M0 0"/></a>',
    '<use href="https://example.org/x.svg#a"/>',
    '<use xlink:href="data:image/svg+xml,x" xmlns:xlink="http://www.w3.org/1999/xlink"/>',
    '<image href="https://example.org/x.png"/>',
    '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
    '<style>@import "https://example.org"</style>',
    '<path d="M0 0" style="background:url(https://example.org)"/>',
    '<path d="M0 0" fill="url(https://example.org#x)"/>',
    '<animate attributeName="href" to="javascript:alert(1)"/>',
    '<set attributeName="onmouseover" to="alert(1)"/>',
    '<rect width="expression(alert(1))"/>',
    '<path d="M0 0" filter="url(#x)" id="at-P1-n1" class="hit"/>',
]


@pytest.mark.parametrize("drawing", HOSTILE)
def test_nothing_that_acts_or_fetches_gets_through(drawing: str) -> None:
    """No script, handler, link, style, image, animation, nor an id or class of the page's own."""
    safe = clean(parse_drawing(f"<svg><g>{drawing}</g></svg>").children[0])
    for word in (
        "script",
        "onload",
        "href",
        "http",
        "url(",
        "style",
        "import",
        "alert",
        "id=",
        "class=",
        "image",
    ):
        assert word not in safe, safe


def test_shapes_texts_and_glyphs_stay() -> None:
    """What the engraver draws music with comes through as it was, references to glyphs renamed."""
    drawing = parse_drawing(
        '<svg><defs><g id="E0A4-x1"><path transform="scale(1,-1)" d="M0 -39c0 68z"/></g></defs>'
        '<g class="note" id="q"><use href="#E0A4-x1" transform="translate(1, 2) scale(0.7, 0.7)"/>'
        '<text x="3" y="4" font-size="0px"><tspan class="text dir" font-size="405px"> a &lt; b </tspan>'
        "</text></g></svg>"
    )
    assert glyphs_of(drawing) == {"E0A4": '<path transform="scale(1,-1)" d="M0 -39c0 68z"/>'}
    assert clean(drawing.children[1]) == (
        '<use transform="translate(1, 2) scale(0.7, 0.7)" href="#glyph-E0A4"/>'
        '<text x="3" y="4" font-size="0px">'
        '<tspan font-size="405px" class="dir"> a &lt; b </tspan></text>'
    )


def test_helpers_of_the_engraver_are_left_out() -> None:
    """Bounding boxes, placeholders and empty groups take no room in the page."""
    drawing = parse_drawing(
        '<svg><g class="note bounding-box"><rect x="1"/></g><g class="section placeholder"><ellipse rx="9"/>'
        "</g><g/></svg>"
    )
    assert [clean(child) for child in drawing.children] == ["", "", ""]


def test_no_drawing_is_an_error() -> None:
    """What is not well-formed is no drawing."""
    with pytest.raises(ValueError, match="no well-formed"):
        parse_drawing("<svg><g></svg>")
