"""A whole HTML document that needs nothing else: its policy lets no other file and no other script in."""

import base64
import hashlib

from markupsafe import Markup

from gripway.page.faces import faces_of
from gripway.page.markup import filled, own_file


def document(title: str, style: str, body: Markup, *, font: str = "", script: str = "") -> str:
    """The document of a body; `style` and `script` name files of this room, `font` is WOFF2 as base64."""
    code = own_file(script) if script else ""
    return written_document(title, own_file(style), body, font=font, script=code)


def written_document(title: str, style: str, body: Markup, *, font: str = "", script: str = "") -> str:
    """The same with the style sheet and the script themselves, which are our own."""
    whole = filled(
        "document.html",
        title=title,
        style=Markup(f"{faces_of(style)}{style}"),  # noqa: S704 - our own
        body=body,
        font=font,
        script=Markup(script),  # noqa: S704 - our own
        digest=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )
    return f"{whole}\n"


def message_page(words: str) -> str:
    """A document that says one thing, where there is nothing else to show."""
    return document(words, "legend.css", filled("message.html", words=words))
