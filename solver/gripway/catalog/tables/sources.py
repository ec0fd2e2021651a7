"""The sources the rows of the tables cite, and the bibliography made from them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.locator import tables_folder
from gripway.catalog.tables.toml_table import Keys, read_keys

SOURCE_KEYS = ("author", "title", "date", "kind", "seen", "note")
SOURCE_KINDS = ("page", "article", "book", "thesis", "law", "practice", "own-model")
SEEN = ("read", "read opening part", "not seen")

KIND_WORDS = {
    "page": "A web page",
    "article": "An article",
    "book": "A book",
    "thesis": "A thesis",
    "law": "A law",
    "practice": "Common practice",
    "own-model": "Our own model",
}
SEEN_WORDS = {
    "read": "read by us",
    "read opening part": "only its beginning read by us",
    "not seen": "not seen by us",
}
"""Kind and reading of a source in words for a reader."""


@dataclass(frozen=True, slots=True)
class Source:
    """One source: who, what, when, of which kind, and how much of it was seen.

    `kind` is one of SOURCE_KINDS, `seen` one of SEEN; `date` and `note` may be empty.
    """

    key: str
    author: str
    title: str
    date: str
    kind: str
    seen: str
    note: str = ""

    @property
    def citation(self) -> str:
        """One line for a bibliography."""
        date = f" ({self.date})" if self.date else ""
        note = f" {self.note[0].upper()}{self.note[1:]}." if self.note else ""
        return f"{self.author}{date}: {self.title}. {KIND_WORDS[self.kind]}, {SEEN_WORDS[self.seen]}.{note}"


@cache
def sources() -> Mapping[str, Source]:
    """Every source by its key, in the order of the file; TableError when an entry is malformed.

    >>> sources()["common-practice"].kind
    'practice'
    """
    keys = read_keys(tables_folder() / "sources.toml", "sources.toml")
    return MappingProxyType({key: _source(key, entry) for key, entry in keys.sub_tables("source").items()})


def bibliography() -> tuple[str, ...]:
    """One citation a source, in alphabetical order of author and title."""
    ordered = sorted(
        sources().values(), key=lambda source: (source.author.casefold(), source.title.casefold())
    )
    return tuple(source.citation for source in ordered)


def _source(key: str, entry: Keys) -> Source:
    entry.check_known(SOURCE_KEYS)
    kind, seen = entry.text("kind"), entry.text("seen")
    for name, word, words in (("kind", kind, SOURCE_KINDS), ("seen", seen, SEEN)):
        if word not in words:
            raise entry.error(name, f"{word!r} is none of {', '.join(words)}")
    return Source(
        key=key,
        author=entry.text("author"),
        title=entry.text("title"),
        date=entry.text("date", ""),
        kind=kind,
        seen=seen,
        note=entry.text("note", ""),
    )


def citation(key: str) -> str:
    """A source as the bibliography has it; a key that stands in no table as it is."""
    known = sources()
    return known[key].citation if key in known else key
