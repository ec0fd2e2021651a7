"""The files of the page: a fixed list, nothing beside it, nothing inline and nothing from elsewhere."""

import re
from pathlib import Path

import pytest
from tests.every import every
from tests.web.pages import ROOT, client

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.load import LATE

STATIC = ROOT / "solver" / "gripway" / "web" / "static"
KINDS = {
    "html": "html",
    "css": "css",
    "js": "javascript",
    "svg": "svg+xml",
    "txt": "text/plain",
    "woff2": "font/woff2",  # RFC 8081
}
FILES = sorted(path for path in STATIC.rglob("*") if path.is_file())


@every(FILES, lambda path: path.name)
def test_every_file_is_served_as_it_is(path: Path) -> None:
    """Byte for byte, and as the kind it is."""
    answer = client().get(
        "/" if path.name == "index.html" else f"/static/{path.relative_to(STATIC).as_posix()}"
    )
    assert answer.content == path.read_bytes()
    assert answer.headers["content-type"].split(";")[0].endswith(KINDS[path.suffix[1:]])


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2f..%2fapp.py",
        "/static/%2fetc%2fpasswd",
        "/static/",
        "/static/music/%2e%2e/app.js",
        "/static/music",
        "/static/app.js%00.css",
        "/static/APP.JS",
        "/etc/passwd",
    ],
)
def test_no_path_leads_anywhere_else(path: str) -> None:
    """A name that is not on the list is refused, however it is written."""
    answer = client().get(path)
    assert answer.status_code in (404, 405)
    assert "error" in answer.json()


def test_nothing_of_the_page_is_inline_or_from_elsewhere() -> None:
    """No script or style in the page's text, no handler, no address of another place but names of XML."""
    page = (STATIC / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\son\w+=|\sstyle=", page)
    for path in (path for path in FILES if path.suffix not in (".woff2", ".txt")):
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?://|@import|\beval\(|innerHTML|document\.write", text), path.name


def test_the_page_calls_loads_as_the_tables_do() -> None:
    """Figures of its words, its signs and its documents are those of effort/figures.csv."""
    words = (STATIC / "words.js").read_text(encoding="utf-8")
    figures = effort_tables().figures
    told = {
        "HARD": figures.called_hard_load,
        "LATE": LATE,
        "VERY_LATE": figures.called_very_late_load,
        "SLURRED": figures.slurred_factor,
        "TONGUED": figures.tongued_factor,
    }
    found = dict(re.findall(r"^export const ([A-Z_]+) = ([\d.]+);$", words, re.MULTILINE))
    assert {name: float(found[name]) for name in told} == told
    signs = (STATIC / "index.html").read_text(encoding="utf-8")
    assert re.findall(r"load (?:from|above) ([\d.]+)", signs) == [
        f"{told[name]:g}" for name in ("HARD", "LATE", "VERY_LATE")
    ]
    for name, words_of in (("README.md", "with their load (from"), ("examples/manual/page.md", "(from load")):
        (shown,) = re.findall(re.escape(words_of) + r" ([\d.]+)\)", (ROOT / name).read_text(encoding="utf-8"))
        assert float(shown) == told["HARD"], name
