"""Words over the staff that say how to play, such as espressivo, dolce or cresc.: kept as written."""

import re
from collections.abc import Iterator

from gripway.score.xml.xml_tree import Element

STEMS = (
    *("espress", "express", "dolc", "doux", "leggier", "léger", "cantab", "cantando", "chant", "legat"),
    *("stacc", "marc", "pesant", "grazi", "gracieu", "scherz", "appass", "sosten", "soutenu", "semplic"),
    *("tener", "tendr", "mezza", "sotto", "brill", "energic", "giocos", "lusing", "agitat"),
    *("cresc", "dim", "decresc", "smorz", "morend", "perd", "caland", "rinf", "delic", "misterios", "calm"),
    *("flatt", "frull", "maestos", "amoros", "affettuos", "dolent", "mesto"),
)
"""Beginnings of such words, in the languages scores have them in (common practice, no source)."""

LEADS = ("sempre", "molto", "poco", "più", "piu", "meno", "assai", "un", "toujours", "très", "plus", "a", "e")
"""Words that lead one of them; alone they say nothing."""

WITH = ("con", "senza", "avec", "sans")
"""Words that begin one by themselves, as in con fuoco."""

BRACKETS = "[]() "
_WORD = re.compile(r"[^\W\d_]+")


def expression_of(text: str) -> str:
    """A direction that says how to play, on one line; empty for any other.

    >>> expression_of(" molto espressivo "), expression_of("cresc."), expression_of("a 2")
    ('molto espressivo', 'cresc.', '')
    """
    said = " ".join(text.split()).strip(BRACKETS)
    words = _WORD.findall(said.lower())
    meant = [word for word in words if word not in LEADS]
    return said if meant and (meant[0].startswith(STEMS) or (meant[0] in WITH and meant[1:])) else ""


def expressions_in(direction: Element) -> Iterator[str]:
    """The words of a direction that say how to play."""
    texts = (words.text for kind in direction.all("direction-type") for words in kind.all("words"))
    return (said for text in texts if (said := expression_of(text)))
