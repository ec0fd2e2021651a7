"""The W3C schema of MusicXML 4.0, compiled from the packages that ship it (musicxml, xmlschema)."""

from functools import cache
from pathlib import Path

import musicxml
import xmlschema
from lxml import etree


@cache
def schema() -> etree.XMLSchema:
    """The compiled schema with its two imports taken from the xmlschema package."""
    text = (Path(musicxml.__file__).parent / "generate_classes" / "musicxml_4_0.xsd").read_text("utf-8")
    local = Path(xmlschema.__file__).parent / "schemas"
    text = text.replace("http://www.musicxml.org/xsd/xml.xsd", (local / "XML" / "xml.xsd").as_uri())
    text = text.replace("http://www.musicxml.org/xsd/xlink.xsd", (local / "XLINK" / "xlink.xsd").as_uri())
    return etree.XMLSchema(etree.fromstring(text.encode()))


def schema_errors(data: bytes) -> list[str]:
    """The messages of every schema error, without their lines."""
    compiled = schema()
    compiled.validate(etree.fromstring(data))
    return sorted(error.message for error in compiled.error_log)
