"""The files of the page: a fixed list, read from the package once; no path of a request is followed."""

from importlib.resources import files

from starlette.responses import Response

TYPES = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
    "woff2": "font/woff2",
}
PAGE = "index.html"
FOLDERS = (
    "",
    "faces/",
    "music/",
    "opening/",
    "panel/",
    "practice/",
    "record/",
    "share/",
    "stand/",
    "wishing/",
)


def static_files() -> dict[str, Response]:
    """Every file of the page as an answer, by its name, with its folder before it."""
    found = {}
    for folder in FOLDERS:
        for entry in files("gripway").joinpath("web", "static", folder).iterdir():
            ending = entry.name.rpartition(".")[2]
            if ending in TYPES:
                found[folder + entry.name] = Response(
                    entry.read_bytes(), headers={"content-type": TYPES[ending]}
                )
    return found
