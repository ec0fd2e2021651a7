"""HTML put together safely."""

import pytest

from gripway.page.markup import Markup, join, tag, text


def test_text_is_escaped_and_markup_is_not() -> None:
    """What is no markup of ours cannot open an element or leave an attribute."""
    assert tag("p", "<b>", tag("i", "&")) == "<p>&lt;b&gt;<i>&amp;</i></p>"
    assert tag("a", "x", href='"><script>') == '<a href="&quot;&gt;&lt;script&gt;">x</a>'
    assert join(["<", Markup("<br>")], " & ") == "&lt; &amp; <br>"


def test_control_characters_vanish() -> None:
    """Characters no document can hold are left out."""
    assert text("a\x00b\x1bc\ud800d\n") == "abcd\n"


@pytest.mark.parametrize(
    ("attributes", "written"),
    [
        ({"class_": "hit"}, '<g class="hit"></g>'),
        ({"aria_label": "x", "data_note": "n"}, '<g aria-label="x" data-note="n"></g>'),
        ({"hidden": True, "open": False, "id": ""}, "<g hidden></g>"),
        ({"x": 0.0, "y": 1.6}, '<g x="0" y="2"></g>'),
    ],
)
def test_attributes_are_named_as_html_names_them(attributes: dict[str, str], written: str) -> None:
    """Underscores become hyphens; True is an attribute alone; False and empty ones are left out."""
    assert tag("g", **attributes) == written
