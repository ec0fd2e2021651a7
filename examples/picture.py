"""Takes the first line of music out of a report, as a picture that stands by itself.

    gripway finger examples/ladder_cell.musicxml --format html | python examples/picture.py

The picture is the report's own drawing on white; only what leads to other parts of the page is left out.
"""

import re
import sys

SYSTEM = re.compile(r'<div class="system"><svg (viewBox="0 0 (\d+) (\d+)").*?>(.*?)</svg></div>', re.DOTALL)
PLACE = re.compile(r'<a [^>]*class="hit">.*?</a>', re.DOTALL)
LINK = re.compile(r"</?a\b[^>]*>")
RULES = re.compile(r"^\.(?:engraved|sign|leader|inverse|fill|bracket)\b[^:{\n]*\{.*\}$", re.MULTILINE)
FONT = re.compile(r"@font-face\{.*?\}", re.DOTALL)
WIDTH_PX = 900


def picture(report: str) -> str:
    """The first line of music of a report as SVG; ValueError for a text that has none."""
    system = SYSTEM.search(report)
    if system is None:
        raise ValueError("this is no report with music")
    box, width, height, drawing = system.groups()
    drawing = LINK.sub("", PLACE.sub("", drawing))
    style = [*(FONT.findall(report) if "music-font" in drawing else []), *RULES.findall(report)]
    size = f'width="{WIDTH_PX}" height="{round(WIDTH_PX * int(height) / int(width))}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {box} {size} color="#000" fill="#000">',
        "<style>" + "\n".join(style).replace("var(--paper)", "#fff") + "</style>",
        f"<defs>{''.join(_shared(report, drawing))}</defs>",
        f'<rect width="{width}" height="{height}" fill="#fff"/>',
        f"{drawing}</svg>",
    ]
    return "\n".join(lines) + "\n"


def _shared(report: str, drawing: str) -> list[str]:
    """The shapes that a drawing uses by their ids, in the order of the ids."""
    found = []
    for name in sorted(set(re.findall(r'href="#([\w-]+)"', drawing))):
        shape = re.search(rf'<(g|symbol) id="{name}".*?</\1>', report, re.DOTALL)
        if shape is None:
            raise ValueError(f"the report has no shape {name}")
        found.append(shape[0])
    return found


if __name__ == "__main__":
    sys.stdout.write(picture(sys.stdin.read()))
