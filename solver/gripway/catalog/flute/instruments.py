"""Instruments and their optional parts, read from tables/instruments.

Each folder there with an instrument.toml is one instrument. Its fingers (reach.csv) and
holes (holes.csv) stand in the folder its key `mechanism` names, so a piccolo is a flute with
some touches and holes left out.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.catalog.tables.toml_table import Keys, read_keys
from gripway.errors import RequestError
from gripway.model.grip import TOUCHES
from gripway.model.instrument import Instrument
from gripway.model.mechanism import FINGERS, Hole, Mechanism, Reach

REACH_COLUMNS = ("finger", "touches", "first_choice", "needs", "source", "how", "note")
HOLE_COLUMNS = (
    "place", "hole", "sounds", "rest", "touches", "needs", "absent_with", "source", "how", "note",
)  # fmt: skip
INSTRUMENT_KEYS = (
    "title", "also", "lowest", "highest", "unsure_above", "sounds_semitones", "mechanism",
    "without_touches", "without_holes", "grips", "tendencies", "source", "how", "note", "parts",
)  # fmt: skip
PART_KEYS = ("title", "also", "with", "not_with")


def instrument_names() -> tuple[str, ...]:
    """The ids of all instruments there are tables for, sorted.

    >>> "piccolo" in instrument_names()
    True
    """
    return _ids(tables_folder())


def transpositions() -> frozenset[int]:
    """Semitones from written to sounding pitch of the instruments that transpose.

    >>> sorted(transpositions())
    [-12, -5, 12]
    """
    root = tables_folder()
    return frozenset(_keys(root, id_).number("sounds_semitones") for id_ in _ids(root)) - {0}


def part_titles(name: str = "concert-flute") -> dict[str, str]:
    """The optional parts a flute may have, each with its title.

    >>> part_titles()["split-e"]
    'split E mechanism'
    """
    instrument = load_instrument(name)
    path = tables_folder() / "instruments" / instrument.id / "instrument.toml"
    parts = read_keys(path, f"instruments/{instrument.id}/instrument.toml").sub_tables("parts")
    return {part: keys.text("title") for part, keys in sorted(parts.items())}


def load_instrument(name: str = "concert-flute", parts: Iterable[str] = ()) -> Instrument:
    """The instrument of this name, with these optional parts and those they bring along.

    Letter case, spaces and the other names a table gives (`also`) do not matter. `parts` may
    be one text with commas. Raises RequestError for an unknown name or part, or parts no
    flute has together; TableError when a table is malformed.

    >>> load_instrument("flute", ["high-C"]).parts
    ('b-foot', 'high-c')
    """
    root = tables_folder()
    plain = _plain(name)
    id_ = plain if plain in _ids(root) else _id_by_other_name(root, plain)
    asked = parts.split(",") if isinstance(parts, str) else parts
    return _build(root, id_, _chosen_parts(_keys(root, id_), filter(None, map(_plain, asked))))


def full_title(instrument: Instrument) -> str:
    """The title of a flute, and with which parts.

    >>> full_title(load_instrument("flute", ["b-foot"]))
    'concert flute with b-foot'
    """
    return f"{instrument.title} with {', '.join(instrument.parts)}" if instrument.parts else instrument.title


def has_bore(instrument: Instrument) -> bool:
    """Whether any tube of the instrument is known, without reading it."""
    return any((tables_folder() / "instruments" / instrument.id).glob("bore*.csv"))


def mechanism_of(instrument: Instrument) -> str:
    """The folder whose tables of fingers, holes and drawing the instrument shares."""
    return _keys(tables_folder(), instrument.id).text("mechanism")


def parts_for(instrument: Instrument, touches: Iterable[str]) -> tuple[str, ...]:
    """The optional parts that bring touches this flute lacks; of a touch no part brings, none.

    >>> parts_for(load_instrument(), ["B"])
    ('b-foot',)
    """
    found: dict[str, None] = {}
    for touch in touches:
        for part in instrument.known_parts:
            try:
                fitted = load_instrument(instrument.id, (*instrument.parts, part))
            except RequestError:  # a part no flute has beside those of this one
                continue
            if touch in fitted.mechanism.touches:
                found[part] = None
                break
    return tuple(found)


def _plain(name: str) -> str:
    """A name as the tables spell it: lower case, hyphens for spaces."""
    return re.sub(r"[\s_-]+", "-", name.strip().lower())


@cache
def _build(root: Path, id_: str, parts: frozenset[str]) -> Instrument:
    keys = _keys(root, id_)
    return Instrument(
        id=id_,
        title=keys.text("title"),
        mechanism=_mechanism(root, keys, parts),
        lowest=keys.pitch_number("lowest"),
        highest=keys.pitch_number("highest"),
        sounds_semitones=keys.number("sounds_semitones"),
        parts=tuple(sorted(parts)),
        known_parts=tuple(sorted(keys.sub_tables("parts"))),
        family=keys.text("grips"),
        tendencies=keys.flag("tendencies"),
        unsure_above=keys.pitch_number("unsure_above", default=127),
    )


@cache
def _ids(root: Path) -> tuple[str, ...]:
    return tuple(sorted(path.parent.name for path in (root / "instruments").glob("*/instrument.toml")))


@cache
def _keys(root: Path, id_: str) -> Keys:
    table = f"instruments/{id_}/instrument.toml"
    keys = read_keys(root / table, table)
    keys.check_known(INSTRUMENT_KEYS)
    keys.words("also")
    parts = keys.sub_tables("parts")
    for part in parts.values():
        part.check_known(PART_KEYS)
        part.words("also")
        for key in ("with", "not_with"):
            if stray := set(part.words(key)) - set(parts):
                raise part.error(key, f"there is no part {', '.join(sorted(stray))}")
    return keys


def _id_by_other_name(root: Path, name: str) -> str:
    """The id of the instrument `name` is another name of; only now are all the tables read."""
    tables = {id_: _keys(root, id_) for id_ in _ids(root)}
    return _resolve(name, tables, "instrument", "The instruments are")


def _resolve(name: str, tables: Mapping[str, Keys], kind: str, known: str) -> str:
    """The id that `name` is, or is another name of."""
    for id_, keys in tables.items():
        if name == id_ or name in keys.words("also"):
            return id_
    listed = f"{known} {', '.join(tables)}" if tables else "It has no optional parts"
    raise RequestError(f"unknown {kind} {name!r}", next_step=listed)


def _chosen_parts(keys: Keys, asked: Iterable[str]) -> frozenset[str]:
    """The ids of the parts asked for and of those they bring along."""
    title, tables = keys.text("title"), keys.sub_tables("parts")
    chosen: set[str] = set()
    waiting = [_resolve(name, tables, "part", f"The parts a {title} may have are") for name in asked]
    while waiting:
        part = waiting.pop()
        if part not in chosen:
            chosen.add(part)
            waiting += tables[part].words("with")
    for part in sorted(chosen):
        if clash := chosen & set(tables[part].words("not_with")):
            raise RequestError(
                f"no {title} has both {part} and {', '.join(sorted(clash))}",
                next_step="Name only the parts your own flute has",
            )
    return frozenset(chosen)


def _mechanism(root: Path, keys: Keys, parts: frozenset[str]) -> Mechanism:
    folder = keys.text("mechanism")
    reach_rows = _rows(root, folder, "reach.csv", REACH_COLUMNS)
    hole_rows = _rows(root, folder, "holes.csv", HOLE_COLUMNS)
    off_touches = keys.words("without_touches")
    off_holes = keys.words("without_holes")
    _check_listed(keys, "without_touches", {t for row in reach_rows for t in row.words("touches")})
    _check_listed(keys, "without_holes", {row.text("hole") for row in hole_rows})
    reaches = (_reach(row) for row in _counting(reach_rows, parts))
    holes = (row for row in _counting(hole_rows, parts) if row.text("hole") not in off_holes)
    return Mechanism(
        reaches=tuple(reach for reach in reaches if not set(reach.touches) & set(off_touches)),
        holes=tuple(_hole(row) for row in _in_place(holes)),
    )


@cache
def _rows(root: Path, folder: str, table: str, columns: tuple[str, ...]) -> tuple[Row, ...]:
    path = root / "instruments" / folder / table
    return read_rows(path, f"instruments/{folder}/{table}", columns)


def _check_listed(keys: Keys, key: str, known: set[str]) -> None:
    if stray := set(keys.words(key)) - known:
        raise keys.error(key, f"the mechanism has no {', '.join(sorted(stray))}")


def _counting(rows: Iterable[Row], parts: frozenset[str]) -> Iterator[Row]:
    """The rows that hold for a flute with these parts."""
    for row in rows:
        absent_with = row.words("absent_with") if "absent_with" in row.cells else ()
        if parts.issuperset(row.words("needs")) and parts.isdisjoint(absent_with):
            yield row


def _in_place(rows: Iterable[Row]) -> Iterator[Row]:
    """The rows as they come, checked to run from head to foot with one row a hole."""
    last_place = 0
    for row in rows:
        place = row.number("place")
        if place <= last_place:
            raise row.error("place", f"place {place} follows place {last_place}")
        last_place = place
        yield row


def _reach(row: Row) -> Reach:
    return Reach(
        finger=row.choice("finger", {finger: finger for finger in FINGERS}),
        touches=_touches(row),
        first_choice=row.choice("first_choice", {"yes": True, "no": False}),
    )


def _hole(row: Row) -> Hole:
    return Hole(
        id=row.text("hole"),
        title=row.text("sounds"),
        open_at_rest=row.choice("rest", {"open": True, "shut": False}),
        touches=_touches(row),
    )


def _touches(row: Row) -> tuple[str, ...]:
    touches = row.text("touches").split()
    for touch in touches:
        if touch not in TOUCHES:
            raise row.error("touches", f"{touch!r} is not a touch; the touches are {' '.join(TOUCHES)}")
    return tuple(touches)
