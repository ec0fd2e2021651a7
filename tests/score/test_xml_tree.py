"""Hostile XML: refused before it costs anything."""

import sys

import pytest
from tests.score.small_scores import bar, names, note, score

from gripway.errors import ScoreError
from gripway.score.xml import xml_tree
from gripway.score.xml.xml_tree import parse_tree

DOCTYPE = (
    b'<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    b'"http://localhost:9/partwise.dtd">'
)


def test_the_plain_musicxml_doctype_is_allowed_and_not_fetched() -> None:
    """The DTD line of every older export is read over; its address is never opened."""
    head, _, body = score(bar(note("C5"))).partition(b"\n")
    assert names(head + DOCTYPE + body) == ["C5"]


@pytest.mark.parametrize(
    "declaration",
    [
        b'<!ENTITY a "aaaa">',
        b'<!ENTITY a "aa"><!ENTITY b "&a;&a;">',
        b'<!ENTITY a SYSTEM "file:///etc/hostname">',
        b'<!ENTITY % a SYSTEM "http://localhost:9/x">',
    ],
)
def test_entity_declarations_are_refused(declaration: bytes) -> None:
    """Internal, external and parameter entities alike, with the line."""
    with pytest.raises(ScoreError, match=r"x\.xml, line 1: the file declares XML entities"):
        parse_tree(b"<!DOCTYPE a [" + declaration + b"]><a/>", "x.xml")


def test_unknown_entities_are_an_error() -> None:
    """An entity nobody declared is not well-formed."""
    with pytest.raises(ScoreError, match=r"line 1: an entity .* not declared"):
        parse_tree(b"<a>&lt;&b;</a>", "x.xml")


@pytest.mark.parametrize("name", ["a", "credit"])
def test_deep_nesting_is_refused(name: str) -> None:
    """In what is read and in what is skipped."""
    with pytest.raises(ScoreError, match="nested deeper"):
        parse_tree(f"<{name}>".encode() * 10_000, "x.xml")


def test_a_document_too_long_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Above the limit nothing is parsed."""
    monkeypatch.setattr(xml_tree, "MAX_BYTES", 100)
    with pytest.raises(ScoreError, match="Export only the flute part"):
        parse_tree(b"<a>" + b" " * 100 + b"</a>", "x.xml")


def test_offsets_point_at_the_tags() -> None:
    """`start` and `end` are the bytes of start and end tag, also after letters of two bytes."""
    data = "<a>é<b>ü</b></a>".encode()
    b = parse_tree(data, "x.xml").children[0]
    assert (data[b.start :][:3], data[b.end :][:4], b.text) == (b"<b>", b"</b>", "ü")


@pytest.mark.parametrize("codec", ["utf-8", "utf-16"])
@pytest.mark.parametrize("used", ["<a><b>&q;</b></a>", '<a><b c="&q;"/></a>', "<a><print>&q;</print></a>"])
def test_an_entity_that_only_the_doctype_could_declare_is_an_error(used: str, codec: str) -> None:
    """In text, in an attribute and in what is skipped: with the line, counted with those of the doctype."""
    text = f'<?xml version="1.0" encoding="{codec}"?><!DOCTYPE a\n PUBLIC "x"\n "y">\n{used}'
    with pytest.raises(ScoreError, match=r"x\.xml, line 4: an entity .* not declared"):
        parse_tree(text.encode(codec), "x.xml")


def test_bytes_stay_in_their_places_behind_a_doctype() -> None:
    """Marks are put in by byte offsets of the whole document."""
    data = b'<!DOCTYPE a PUBLIC "x" "y" [<!ELEMENT a ANY>]><a><b/></a>'
    root = parse_tree(data, "x.xml")
    assert data[root.children[0].start :] == b"<b/></a>"


@pytest.mark.parametrize("name", ["print", "credit", "lyric"])
def test_a_root_that_is_mostly_skipped_is_a_root(name: str) -> None:
    """What the document is must be said."""
    assert parse_tree(f"<{name}/>".encode(), "x.xml").name == name


def test_long_text_is_gathered_once() -> None:
    """Text of many lines comes in many pieces; twice the text takes twice the steps."""
    counts = []
    for lines in (20_000, 40_000):
        steps = 0

        def count(_frame: object, event: str, _argument: object) -> None:
            nonlocal steps
            steps += event == "call"

        data = b"<a>" + b"ab\n" * lines + b"</a>"
        sys.setprofile(count)
        try:
            text = parse_tree(data, "x.xml").text
        finally:
            sys.setprofile(None)
        assert text == "ab\n" * lines
        counts.append(steps)
    assert counts[1] < 2.5 * counts[0]
