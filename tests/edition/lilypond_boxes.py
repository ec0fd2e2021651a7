"""What LilyPond prints of a score, as boxes: by its musicxml2ly, drawn as SVG, measured in a browser.

Needs the two programs (`pip install lilypond` has both) and chromium. Page layouts are left out, since parts
of full scores have pages of one bar; so are words among dynamics, which the converter cannot write.
"""

import os
import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.edition.boxes import Box

PACKAGED = (
    Path(sys.prefix) / "lib" / f"python3.{sys.version_info.minor}" / "site-packages/lilypond-binaries/bin"
)
PATH = os.pathsep.join([os.environ.get("PATH", ""), str(PACKAGED)])
PROGRAMS = [shutil.which(name, path=PATH) for name in ("musicxml2ly", "lilypond")]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
CAN_MEASURE = all((*PROGRAMS, CHROMIUM))

TEXTS = "TextScript DynamicText LyricText MultiMeasureRestText MetronomeMark RehearsalMark TextMark BarNumber"
CLASSES = "\n".join(
    f'\\override {kind}.output-attributes = #\'((class . "{name}"))'
    for name, kinds in (("text", TEXTS), ("head", "NoteHead"))
    for kind in kinds.split()
)
LAYOUT = f"\\layout {{ \\context {{ \\Score {CLASSES} }} }}"
WORDS_IN_DYNAMICS = re.compile(rb"<other-dynamics[^>]*>[^<]*</other-dynamics>")
ONLY_WORDS = re.compile(
    rb"<direction[^>]*>\s*<direction-type>\s*<dynamics[^>]*>\s*</dynamics>.*?</direction>", re.DOTALL
)
FACES = {
    ("normal", "normal"): "C059-Roman",
    ("normal", "italic"): "C059-Italic",
    ("bold", "normal"): "C059-Bold",
    ("bold", "italic"): "C059-BdIta",
}
"""LilyPond's own text fonts by weight and style, which its drawings only call serif."""

MEASURE = """async () => {
  await document.fonts.ready;
  const pen = document.createElement("canvas").getContext("2d");
  const letters = text => {
    const style = getComputedStyle(text), scale = parseFloat(style.fontSize) / 100, to = text.getScreenCTM();
    pen.font = `${style.fontStyle} ${style.fontWeight} 100px LilyPond`;
    return [...Array(text.getNumberOfChars()).keys()].flatMap(index => {
      const letter = text.textContent.trim()[index], from = text.getStartPositionOfChar(index);
      if (letter === undefined || !letter.trim()) { return []; }
      const ink = pen.measureText(letter);
      const at = (x, y) => new DOMPoint(from.x + x * scale, from.y + y * scale).matrixTransform(to);
      const low = at(-ink.actualBoundingBoxLeft, ink.actualBoundingBoxDescent);
      const high = at(ink.actualBoundingBoxRight, -ink.actualBoundingBoxAscent);
      return [[low.x, high.y, high.x, low.y]];
    });
  };
  const outline = path => {
    const box = path.getBoundingClientRect();
    return [[box.left, box.top, box.right, box.bottom]];
  };
  return [...document.querySelectorAll("g.text, g.head")].map(each => {
    const parts = [...each.querySelectorAll("path, text")];
    const words = parts.filter(part => part.tagName === "text").map(part => part.textContent.trim());
    const inked = parts.flatMap(part => part.tagName === "text" ? letters(part) : outline(part));
    return [each.getAttribute("class"), words.join(" "), inked];
  });
}"""
"""Boxes of ink: of letters by the font's own measures, since the browser's boxes are as high as a line."""


@cache
def boxes(score: bytes) -> tuple[list[Box], list[Box]]:
    """The texts and the noteheads of an engraved score. ValueError for what cannot be compiled."""
    with TemporaryDirectory() as folder:
        return _measured(_drawn(score, Path(folder)))


def _drawn(score: bytes, folder: Path) -> list[Path]:
    """The pages, in order."""
    path, made = folder / "score.musicxml", folder / "score.ly"
    path.write_bytes(ONLY_WORDS.sub(b"", WORDS_IN_DYNAMICS.sub(b"", score)))
    _run(PROGRAMS[0], "--npl", "-o", made, path)
    text = made.read_text(encoding="utf-8").replace("\\pageBreak", "").replace("\\layout {}", LAYOUT)
    made.write_text(text, encoding="utf-8")
    _run(PROGRAMS[1], "-s", "--svg", "-o", folder / "score", made)
    return sorted(
        folder.glob("*.svg"), key=lambda page: [int(part) for part in re.findall(r"\d+", page.stem)]
    )


def _run(*words: object) -> None:
    """Run a program; ValueError where it fails."""
    command = [str(word) for word in words]
    environment = {**os.environ, "PATH": PATH}
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    if done.returncode:
        raise ValueError(
            next((line for line in done.stderr.splitlines() if "error" in line), done.stderr[-200:])
        )


def _faces() -> str:
    """The fonts, and that texts are set in them: LilyPond's own copies, else those of the system."""
    found = [*Path(str(PROGRAMS[1])).resolve().parents[1].glob("share/lilypond/*/fonts/otf/C059-*.otf")]
    listed = (
        ""
        if found
        else subprocess.run(["fc-list", "C059", "file"], capture_output=True, text=True, check=False).stdout
    )
    found += [Path(line.strip().removesuffix(":")) for line in listed.splitlines() if ".otf" in line]
    files = {path.stem: path.as_uri() for path in found}
    faces = "".join(
        f"@font-face{{font-family:LilyPond;font-weight:{weight};font-style:{style};src:url({files[name]})}}"
        for (weight, style), name in FACES.items()
    )
    return f"{faces} text{{font-family:LilyPond}}"


def _measured(pages: list[Path]) -> tuple[list[Box], list[Box]]:
    """What a browser measures, in a thread of its own: another may be driven in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(_measured_here, pages).result()


def _measured_here(pages: list[Path]) -> tuple[list[Box], list[Box]]:
    from playwright.sync_api import sync_playwright

    texts: list[Box] = []
    heads: list[Box] = []
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        tab = browser.new_page()
        for number, page in enumerate(pages, start=1):
            shown = page.with_suffix(".html")
            shown.write_text(f"<style>{_faces()}</style>{page.read_text(encoding='utf-8')}", encoding="utf-8")
            tab.goto(shown.as_uri())
            tab.evaluate("() => Promise.all([...document.fonts].map(face => face.load()))")
            for kind, text, inked in tab.evaluate(MEASURE):
                if inked:  # an empty text has no box
                    (texts if kind == "text" else heads).append(_around(number, text, inked))
        browser.close()
    return texts, heads


def _around(page: int, text: str, inked: list[list[float]]) -> Box:
    """The box of all that is inked of a text or a notehead."""
    lefts, tops, rights, bottoms = zip(*inked, strict=True)
    letters = tuple(Box(page, *each) for each in inked)
    return Box(page, min(lefts), min(tops), max(rights), max(bottoms), text, letters)
