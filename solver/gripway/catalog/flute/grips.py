"""The grips of an instrument, read from tables/grips and fitted to its parts.

The tables are written for a flute with closed G-sharp. For an open G-sharp every grip is
rewritten, except the rows that need that part: they are written for it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import Protocol

from gripway.catalog.flute.grip_cells import (
    BASES,
    CONFIDENCES,
    HOWS,
    cents_of,
    grip_of,
    note_number,
    note_numbers,
)
from gripway.catalog.flute.leans import lean_words
from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument

GRIP_COLUMNS = (
    "pitch", "grip", "kind", "for", "partners", "use", "lean_word", "lean_basis", "lean_how", "pure_cents",
    "modelled_cents", "spread_cents", "response", "partial", "partial_of", "in_passing", "needs", "flags",
    "confidence", "source", "locator", "how",
)  # fmt: skip
KINDS = ("standard", "alternate", "vented", "trill", "harmonic")
OPEN_G_SHARP = "open-g-sharp"
LEAN_HOWS = {word: word for word in ("taught", "modelled", "judgement")}
"""Whose a lean is: teachers name its direction, our own estimate, or our reading of sources that disagree."""


@dataclass(frozen=True, slots=True)
class Lean:
    """Where a grip's pitch leans: cents with a spread, and what they are counted from.

    Nine in ten flutes and players are reckoned to lie within `spread_cents` of `cents`. `basis` is
    `tempered` (equal temperament) or `standard` (the standard grip of the same pitch); `how`
    says whose it is: taught (the direction; the size is ours), modelled or judgement. `word`
    is what is said, empty for a figure.
    """

    cents: float
    spread_cents: float
    basis: str
    how: str
    word: str = ""


@dataclass(frozen=True, slots=True)
class GripRow:
    """One grip of one pitch, as the table and the instrument give it.

    `pitch`, `partners` and `partial_of` are note numbers. `for_` holds the settings the grip
    is meant for (any motion quick leap alternation soft loud sustained colour), `partners` the
    neighbours it is taught with. `lean` is what the row says itself: a word (whose size is a
    judgement), else the modelled number, else the deviation of a pure partial. `modelled` counts
    from the standard grip.
    `in_passing` marks the overblown low grips taught for fast passages. `needs` are optional
    parts, `sources` keys of the bibliography, `place` the order that breaks ties.
    """

    pitch: int
    grip: Grip
    kind: str
    for_: frozenset[str]
    partners: frozenset[int]
    use: str
    lean: Lean | None
    modelled: Lean | None
    response: str
    partial: int | None
    partial_of: int | None
    in_passing: bool
    needs: frozenset[str]
    flags: frozenset[str]
    confidence: str
    sources: tuple[str, ...]
    how: str
    place: int


class NeedsParts(Protocol):
    """A row that asks for optional parts."""

    @property
    def needs(self) -> frozenset[str]:
        """The parts, by their ids."""


def allowed(row: NeedsParts, instrument: Instrument) -> bool:
    """Whether the instrument, with the parts chosen, has all that the row needs."""
    return row.needs <= set(instrument.parts)


@cache
def grip_rows(instrument: Instrument) -> Mapping[int, tuple[GripRow, ...]]:
    """All grips of the instrument by note number, standard first, then in table order.

    Rows that need a part the instrument could have but has not are kept (see `allowed`);
    rows it can never have, or outside its range, are left out.
    """
    fitted = (_fit(row, instrument) for row in read_grips(instrument.family))
    ordered = sorted(filter(None, fitted), key=lambda row: _order(row, instrument))
    by_pitch: dict[int, dict[Grip, GripRow]] = {}
    for place, row in enumerate(ordered):
        by_pitch.setdefault(row.pitch, {}).setdefault(
            row.grip, row if row.place == place else replace(row, place=place)
        )
    return MappingProxyType(
        {pitch: tuple(_one_standard(rows.values(), instrument)) for pitch, rows in by_pitch.items()}
    )


@cache
def read_grips(family: str) -> tuple[GripRow, ...]:
    """Every row of a family's table of grips, as written; TableError names a faulty cell."""
    table = f"grips/{family}.csv"
    rows = read_rows(tables_folder() / table, table, GRIP_COLUMNS)
    return tuple(_grip_row(row, place) for place, row in enumerate(rows))


def for_open_g_sharp(grip: Grip) -> Grip:
    """The same holes on a flute with open G-sharp, where L4 shuts the hole it would open.

    >>> for_open_g_sharp(Grip.parse("T L1 L2 L3 | Eb")).text
    'T L1 L2 L3 L4 | Eb'
    """
    if grip.has("L3") and not grip.has("L4"):
        return grip.with_touches("L4")
    return grip.without("L4")


def fits(needs: frozenset[str], grips: Iterable[Grip], instrument: Instrument) -> bool:
    """Whether an instrument of this kind could ever have the parts and touches asked for."""
    if not needs <= set(instrument.known_parts) | set(instrument.parts):
        return False
    if not needs <= set(instrument.parts):
        return True
    return not any(instrument.mechanism.missing(grip) for grip in grips)


def _fit(row: GripRow, instrument: Instrument) -> GripRow | None:
    """The row on this instrument, or None when it can never have it."""
    if not instrument.lowest <= row.pitch <= instrument.highest:
        return None
    if OPEN_G_SHARP in instrument.parts and OPEN_G_SHARP not in row.needs:
        row = replace(row, grip=for_open_g_sharp(row.grip))
    if not fits(row.needs, [row.grip], instrument):
        return None
    if not instrument.tendencies:
        row = replace(row, lean=None, modelled=None)
    return replace(row, confidence="low") if row.pitch > instrument.unsure_above else row


def _order(row: GripRow, instrument: Instrument) -> tuple[int, int, bool, int]:
    """Sorting key: a standard grip made for a part the flute has comes before the plain one."""
    made_for_it = bool(row.needs) and allowed(row, instrument)
    return (row.pitch, KINDS.index(row.kind), not (made_for_it and row.kind == "standard"), row.place)


def _one_standard(rows: Iterable[GripRow], instrument: Instrument) -> Iterable[GripRow]:
    """On open G-sharp a standard written for it makes the rewritten ones alternates."""
    rows = list(rows)
    if OPEN_G_SHARP not in instrument.parts or not any(OPEN_G_SHARP in row.needs for row in rows):
        return rows
    return [
        replace(row, kind="alternate", flags=row.flags - {"base"})
        if row.kind == "standard" and OPEN_G_SHARP not in row.needs
        else row
        for row in rows
    ]


def _grip_row(row: Row, place: int) -> GripRow:
    lean, modelled = _leans(row)
    return GripRow(
        pitch=note_number(row, "pitch"),
        grip=grip_of(row, "grip"),
        kind=row.choice("kind", {kind: kind for kind in KINDS}),
        for_=frozenset(row.words("for")),
        partners=frozenset(note_numbers(row, "partners")),
        use=row.text("use"),
        lean=lean,
        modelled=modelled,
        response=row.cells["response"],
        partial=row.number("partial") if row.cells["partial"] else None,
        partial_of=note_number(row, "partial_of") if row.cells["partial_of"] else None,
        in_passing=row.choice("in_passing", {"yes": True, "": False}),
        needs=frozenset(row.words("needs")),
        flags=frozenset(row.words("flags")),
        confidence=row.choice("confidence", CONFIDENCES),
        sources=row.words("source"),
        how=row.choice("how", HOWS),
        place=place,
    )


def _leans(row: Row) -> tuple[Lean | None, Lean | None]:
    """What the row says of its lean, and the modelled number."""
    basis, pure, number = (
        row.choice("lean_basis", BASES),
        cents_of(row, "pure_cents"),
        cents_of(row, "modelled_cents"),
    )
    spread = cents_of(row, "spread_cents")
    if spread is None and (pure is not None or number is not None):
        raise row.error("spread_cents", "a number of cents needs its spread")
    modelled = Lean(number, spread or 0.0, "standard", "modelled") if number is not None else None
    if pure is not None:
        return modelled or Lean(pure, spread or 0.0, basis, "modelled"), modelled
    if not row.cells["lean_word"]:
        return modelled, modelled
    word, how = row.choice("lean_word", lean_words()), row.choice("lean_how", LEAN_HOWS)
    said = word.word.replace("-", " ")
    if how == "judgement":
        if modelled is None:
            raise row.error("modelled_cents", "a judgement of sources that disagree needs its cents here")
        return replace(modelled, how=how, word=said), modelled
    return Lean(word.cents, word.spread_cents, basis, how, said), modelled
