"""Which text encoding the bytes of an XML document are in, so that marks can be spliced in the same."""

import codecs
import re

from gripway.errors import ScoreError

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_ONE_BYTE = re.compile(
    r"utf-8|ascii|iso8859-\d+|cp(437|85[0278]|866|874|125[0-8])|koi8-[rtu]"
    r"|mac-(roman|latin2|cyrillic|greek|turkish|iceland)|tis-620"
)
"""The codecs in which text of scores is written with a sign a byte, beside UTF-8 and UTF-16.

Python knows many more (idna, unicode_escape, utf-8-sig ...), in none of which marks could be put in.
"""

_DECLARED = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")


def codec_of(data: bytes, name: str) -> str:
    """The Python codec of an XML document: byte order mark first, then the declaration, else UTF-8.

    Raises ScoreError for UTF-32 and for what is not known to have a byte for every sign.
    """
    if data.startswith((codecs.BOM_UTF32_BE, codecs.BOM_UTF32_LE)):
        raise _unusable(name, "UTF-32")
    for mark, codec in _BOMS:
        if data.startswith(mark):
            return codec
    if data.startswith(b"<\x00"):
        return "utf-16-le"
    if data.startswith(b"\x00<"):
        return "utf-16-be"
    declared = _DECLARED.match(data.lstrip()[:300])
    return _single_byte(declared[1].decode("ascii"), name) if declared else "utf-8"


def _single_byte(declared: str, name: str) -> str:
    """The codec of a declared encoding, refused where putting in marks would not be safe."""
    try:
        codec = codecs.lookup(declared).name
    except (LookupError, UnicodeError, ValueError):
        raise _unusable(name, declared) from None
    if not _ONE_BYTE.fullmatch(codec):
        raise _unusable(name, declared)
    return codec


def _unusable(name: str, encoding: str) -> ScoreError:
    return ScoreError(
        f"the encoding {encoding} cannot be read here",
        place=name,
        next_step="Save the score as UTF-8 and try again",
    )
