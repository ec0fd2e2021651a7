"""HTML put together safely from templates."""

from pathlib import Path

import pytest
from jinja2 import UndefinedError
from markupsafe import Markup

from gripway.page import markup
from gripway.page.markup import filled


@pytest.fixture
def template(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A template of one's own, `own.html`."""
    (tmp_path / "templates").mkdir()
    monkeypatch.setattr(markup, "HERE", tmp_path)
    markup._templates.cache_clear()
    yield tmp_path / "templates" / "own.html"
    markup._templates.cache_clear()


def test_text_is_escaped_and_markup_is_not(template: Path) -> None:
    """What is no markup of ours cannot open an element or leave an attribute."""
    template.write_text('<a href="{{ href }}">{{ text }}{{ ours }}</a>')
    made = filled("own.html", href='"><script>', text="<b> &", ours=Markup("<br>"))
    assert made == '<a href="&#34;&gt;&lt;script&gt;">&lt;b&gt; &amp;<br></a>'


def test_control_characters_vanish(template: Path) -> None:
    """Characters no document can hold are left out."""
    template.write_text("{{ text }}|")
    assert filled("own.html", text="a\x00b\x1bc\ud800d\n") == "abcd\n|"


def test_floats_are_whole_numbers(template: Path) -> None:
    """Places of drawings need no decimals; other numbers stand as they are."""
    template.write_text("{{ low }} {{ high }} {{ count }}")
    assert filled("own.html", low=0.4, high=1.6, count=3) == "0 2 3"


def test_a_value_that_is_missing_is_an_error(template: Path) -> None:
    """No page is made with a hole in it."""
    template.write_text("{{ lost }}")
    with pytest.raises(UndefinedError, match="lost"):
        filled("own.html")


def test_lines_of_a_template_are_joined(template: Path) -> None:
    """Beside tags and signs of the template nothing is left of a line end, between words one space."""
    template.write_text(
        "<p>\n  one\n  two {{ three }}\n</p>\n\n<p>\n  {% if three %}\n    x\n  {% endif %}\n</p>\n"
    )
    assert filled("own.html", three=3) == "<p>one two 3</p><p>x</p>"
