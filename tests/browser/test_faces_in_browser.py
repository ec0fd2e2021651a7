"""Words are set in the faces that are shipped: on the page, in documents from disk, on the staff."""

from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, Desk

from gripway.tasks.flutes import flute
from gripway.tasks.reports import report, stand_file
from gripway.tasks.routes import finger
from gripway.tasks.scores import read

pytestmark = pytest.mark.browser

OURS = {"Gripway Sans", "Gripway Serif", "Gripway Signs"}


FIRST_WORDS = """(selector) => {
  const words = (element) => element.getClientRects().length > 0
    && [...element.childNodes].some((node) => node.nodeType === 3 && /[a-z0-9]/i.test(node.data));
  document.querySelector("[data-probe]")?.removeAttribute("data-probe");
  const all = [...document.querySelectorAll(selector)];
  const found = all.flatMap((one) => [one, ...one.querySelectorAll("*")]);
  found.find(words).setAttribute("data-probe", "");
}"""


def set_in(page: Any, selector: str) -> dict[str, bool]:
    """The faces the first words within such an element are drawn in, and whether each came with the document.

    The browser's own inspector tells it; names of fonts that are asked for prove nothing.
    """
    page.evaluate(FIRST_WORDS, selector)
    inspector = page.context.new_cdp_session(page)
    inspector.send("DOM.enable")
    inspector.send("CSS.enable")
    root = inspector.send("DOM.getDocument", {"depth": 0})["root"]["nodeId"]
    node = inspector.send("DOM.querySelector", {"nodeId": root, "selector": "[data-probe]"})["nodeId"]
    used = inspector.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]
    inspector.detach()
    return {font["familyName"]: font["isCustomFont"] for font in used}


def all_loaded(page: Any) -> bool:
    """No face that is in use is still on its way, none could not be read."""
    loaded: bool = page.evaluate(
        "() => document.fonts.ready.then(all => [...all].every(face => face.status !== 'error')"
        " && document.fonts.check('1rem \"Gripway Sans\"') && document.fonts.check('1rem \"Gripway Serif\"'))"
    )
    return loaded


def test_the_page_is_set_in_our_faces(page: Desk) -> None:
    """Title, answer, controls, the panel and the words of the staff: every letter is in a face we ship."""
    page.open_score(ROOFTOP)
    assert all_loaded(page.page)
    for place, family in (
        (".brand h1", "Gripway Serif"),
        ("#piece", "Gripway Serif"),
        ("#summary .answer", "Gripway Serif"),
        ("#flute", "Gripway Sans"),
        ("#caution", "Gripway Sans"),
        (".staff-lines .mNum", "Gripway Serif"),
    ):
        used = set_in(page.page, place)
        assert family in used, place
        assert all(used.values()), (place, used)


@pytest.mark.parametrize(
    ("kind", "places"),
    [
        ("report", {"h1": "Gripway Serif", ".facts": "Gripway Serif", "table": "Gripway Serif"}),
        ("stand", {".stand-head h1": "Gripway Serif", "#settings": "Gripway Sans"}),
    ],
)
def test_documents_from_disk_bring_theirs(
    browser: Any, tmp_path: Path, kind: str, places: dict[str, str]
) -> None:
    """Opened from a file with no network, all words are in the faces that are written into it."""
    reading = read(ROOFTOP)
    concert = flute("concert-flute")
    route = finger(reading.passage, concert)
    made = (report if kind == "report" else stand_file)(reading, route, concert)
    path = tmp_path / f"{kind}.html"
    path.write_text(made, encoding="utf-8")
    context = browser.new_context(offline=True)
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda one: said.append(one.text))
    page.goto(path.as_uri())
    assert all_loaded(page)
    assert said == []  # before the inspector, which has words of its own to say of files
    for place, family in places.items():
        used = set_in(page, place)
        assert family in used, (place, used)
        assert set(used) <= OURS, (place, used)
        assert all(used.values()), (place, used)
    context.close()
