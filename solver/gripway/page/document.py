"""A whole HTML document that needs nothing else: its policy lets no other file and no other script in."""

import base64
import hashlib

from markupsafe import Markup

from gripway.page.markup import filled, own_file


def document(title: str, style: str, body: Markup, *, font: str = "", script: str = "") -> str:
    """The document of a body; `style` and `script` name files of this room, `font` is WOFF2 as base64."""
    code = own_file(script) if script else ""
    whole = filled(
        "document.html",
        title=title,
        style=own_file(style),
        body=body,
        font=font,
        script=code,
        digest=base64.b64encode(hashlib.sha256(code.encode()).digest()).decode(),
    )
    return f"{whole}\n"


def message_page(words: str) -> str:
    """A document that says one thing, where there is nothing else to show."""
    return document(words, "legend.css", filled("message.html", words=words))
