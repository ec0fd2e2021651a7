"""The text faces that are shipped in `web/static/faces/`, cut anew: `python -m tests.web.faces SANS SERIF`.

SANS and SERIF are the unpacked folders of the npm packages `source-sans` (3.52.0) and `source-serif` (4.5.1),
which `npm pack` brings; the signs come from the music font that verovio ships. Names that their licence
reserves are not used for what was cut from them.
"""

import base64
import re
import sys
from importlib.resources import files
from io import BytesIO
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.misc.transform import Transform
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import Glyph
from fontTools.varLib.instancer import instantiateVariableFont

FACES = Path(__file__).resolve().parents[2] / "solver" / "gripway" / "web" / "static" / "faces"

LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180), 0x218, 0x219, 0x21A, 0x21B]
POINTS = [ord(sign) for sign in "–—‘’‚“”„…‹›′″−≠≤≥≈"]
ARROWS = [ord(sign) for sign in "←↑→↓▲▼●○□✓"]
"""Letters of Latin Europe (names of composers), points, and the arrows and shapes the page uses."""

POINTERS = {"▴": (0, 1), "▸": (1, 0), "▾": (0, -1), "◂": (-1, 0)}
"""Small triangles of buttons by where they point, drawn here: those of the text faces are too small."""

FEATURES = ["kern", "mark", "mkmk", "ccmp", "locl", "liga", "lnum", "tnum"]

SIGNS = {  # code point in the music font (SMuFL), its size among letters, its lift in thousandths
    "♯": (0xE262, 1.2, 325),
    "♭": (0xE260, 1.25, 205),
    "♮": (0xE261, 1.2, 325),
    "𝄪": (0xE263, 1.4, 290),
    "𝄫": (0xE264, 1.2, 205),
    "♩": (0xE1D5, 0.8, 103),
}
"""On the staff they stand around their line; here they are lifted onto the line of the letters."""
SIDE = 35
"""Air on both sides of a sign, in thousandths of the type size."""

DAY = 3_849_984_000
"""What every face says it was made on (2026-01-01, in seconds since 1904): the same cut, the same bytes."""

LICENCE = "Licensed under the SIL Open Font License, Version 1.1, https://openfontlicense.org"
ADOBE = "© 2010-2024 Adobe (http://www.adobe.com/), with Reserved Font Name 'Source'; cut for gripway"
DARBELLAY = (
    "© 2014 Etienne Darbellay, Jean-Francois Marti and Laurent Pugin, with Reserved Font Name 'Leipzig'; "
    "cut for gripway"
)


def cut(source: Path, characters: list[int], at: dict[str, float | tuple[float, float]], name: str) -> bytes:
    """A face of some characters as WOFF2, at a place or on a stretch of its axes, under a name of ours."""
    font = TTFont(source)
    options = Options()
    options.layout_features = FEATURES
    options.hinting = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(font)
    face = instantiateVariableFont(font, at)
    names = face["name"]
    names.names = [each for each in names.names if each.nameID >= 256]
    return packed(face, name, ADOBE)


def signs(name: str) -> bytes:
    """Accidentals and the quarter note of the music font, lifted to where they stand among letters."""
    sheet = files("verovio").joinpath("data", "Leipzig.css").read_text(encoding="utf-8")
    found = re.search(r"base64,([A-Za-z0-9+/=]+)", sheet)
    assert found, "verovio's style sheet holds its music font"
    music = TTFont(BytesIO(base64.b64decode(found[1])))
    drawn, units = music.getGlyphSet(), music["head"].unitsPerEm
    glyphs = {".notdef": TTGlyphPen(None).glyph()}
    widths = {".notdef": (units // 2, 0)}
    character_map = {}
    for sign, (code, scale, lift) in SIGNS.items():
        outline = drawn[music.getBestCmap()[code]]
        pen = TTGlyphPen(None)
        outline.draw(TransformPen(pen, Transform(scale, 0, 0, scale, SIDE, lift)))
        shape = f"u{ord(sign):X}"
        glyphs[shape] = pen.glyph()
        widths[shape] = (round(outline.width * scale) + 2 * SIDE, SIDE)
        character_map[ord(sign)] = shape
    for sign, way in POINTERS.items():
        shape = f"u{ord(sign):X}"
        glyphs[shape] = pointer(way)
        widths[shape] = (POINTER_WIDTH, POINTER_WIDTH // 2 - POINTER)
        character_map[ord(sign)] = shape
    built = FontBuilder(units, isTTF=True)
    built.setupGlyphOrder(list(glyphs))
    built.setupCharacterMap(character_map)
    built.setupGlyf(glyphs)
    built.setupHorizontalMetrics(widths)
    built.setupHorizontalHeader(ascent=800, descent=-200)
    built.setupOS2(sTypoAscender=800, sTypoDescender=-200, usWinAscent=1000, usWinDescent=300)
    built.setupNameTable({})
    built.setupPost()
    return packed(built.font, name, DARBELLAY)


POINTER, POINTER_WIDTH, POINTER_HEIGHT = 230, 600, 330
"""Half the side of a pointer, its whole width with air, the height of its middle, in thousandths."""


def pointer(way: tuple[int, int]) -> Glyph:
    """A triangle around the middle of small letters that points right, left, up or down."""
    across, up = way
    middle = (POINTER_WIDTH // 2, POINTER_HEIGHT)
    corners = [(across, up), (-across - up, -up + across), (-across + up, -up - across)]
    pen = TTGlyphPen(None)
    places = [(middle[0] + POINTER * x, middle[1] + POINTER * y * 7 // 8) for x, y in corners]
    pen.moveTo(places[0])
    for place in reversed(places[1:]):
        pen.lineTo(place)
    pen.closePath()
    return pen.glyph()


def packed(face: TTFont, name: str, copyright_words: str) -> bytes:
    """The bytes of a face with its names, its rights and no day in it."""
    words = {0: copyright_words, 1: name, 2: "Regular", 4: name, 6: name.replace(" ", "-"), 13: LICENCE}
    for number, text in words.items():
        face["name"].setName(text, number, 3, 1, 0x409)
    face["head"].created = face["head"].modified = DAY
    face.recalcTimestamp = False
    face.flavor = "woff2"
    out = BytesIO()
    face.save(out)
    return out.getvalue()


def main(sans: Path, serif: Path) -> None:
    """Write the four faces and say how large they are."""
    upright = next(sans.rglob("SourceSans3VF-Upright.ttf"))
    roman, italic = (next(serif.rglob(f"SourceSerif4Variable-{cut}.ttf")) for cut in ("Roman", "Italic"))
    made = {
        "sans": cut(upright, [*LATIN, *POINTS, *ARROWS], {"wght": (400, 700)}, "Gripway Sans"),
        "serif": cut(roman, [*LATIN, *POINTS], {"opsz": 14, "wght": (400, 700)}, "Gripway Serif"),
        "serif-italic": cut(italic, [*LATIN, *POINTS], {"opsz": 14, "wght": 400}, "Gripway Serif"),
        "signs": signs("Gripway Signs"),
    }
    for name, written in made.items():
        (FACES / f"{name}.woff2").write_bytes(written)
        print(f"{name}.woff2: {len(written):,} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
