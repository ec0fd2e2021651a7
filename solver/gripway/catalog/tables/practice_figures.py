"""The sizes and kinds behind a practice plan: tables/practice as frozen, named values."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import Row
from gripway.catalog.tables.figure_table import figures, rows_of, scale

MIXED, BLOCKED, INTERLEAVED = "mixed", "blocked", "interleaved"


@dataclass(frozen=True, slots=True)
class PracticeFigures:
    """The rows of tables/practice/figures.csv; each field is a row's id, unit as there."""

    hard_load: float
    tight_load: float
    early_load: float
    early_lowest: int
    early_break: int
    early_highest: int
    key_reach: int
    key_share: float
    beside_share: float
    cell_usual: int
    longer_share: float
    cell_notes: int
    cells_most: int
    start_load: float
    start_least: float
    start_most: float
    notch: float
    notches: int
    notches_back: int
    plateau_days: int
    plateau_notches: int
    clean_repeats: int
    errors_slow: float
    errors_goal: float
    breath: float
    item_least: float
    item_most: float
    item_share: float
    passage_share: float
    passage_times: int
    passage_most: int
    passage_least: float
    spot_most: float
    spot_usual: float
    visits_usual: int
    rest: float
    long_rest: int
    long_rest_every: int
    long_rest_from: int
    gap_most: int
    visit_drills: int
    gain_visit: int
    gain_visit_less: int
    gain_drill: int
    gain_again: int
    gain_again_plain: int
    gain_last: int
    gain_first: int
    reached_most: float
    reached_share: float
    weight_place: float
    weight_places: int
    balance_watch: float
    trill_tempo: float
    warm_up_changes: int
    warm_up_minutes: float
    warm_up_lowest: int
    pays_load: float
    pays_less: float


@dataclass(frozen=True, slots=True)
class ExposureFigures:
    """The values of article 3 of Directive 2003/10/EC in dB(A), the day in minutes, the exchange in dB."""

    lower_action: float
    upper_action: float
    limit: float
    day: float
    exchange: float


@dataclass(frozen=True, slots=True)
class DrillKind:
    """A kind of drill: its id, its title, at how many tempos of a sitting, what the player does."""

    id: str
    title: str
    tempos: int
    instruction: str


@dataclass(frozen=True, slots=True)
class Rhythm:
    """A rhythm of long and short notes, as steps: LS is (3, 1)."""

    name: str
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PracticeTables:
    """All of tables/practice.

    `drills` are by id, in the order a cell meets them; `levels` has the quiet and the loud level
    (dB) by instrument id, `health` the survey's percentages by id, `orders` what to do by
    mixed, blocked and interleaved.
    """

    figures: PracticeFigures
    drills: Mapping[str, DrillKind]
    rhythms: tuple[Rhythm, ...]
    exposure: ExposureFigures
    levels: Mapping[str, tuple[float, float]]
    health: Mapping[str, float]
    orders: Mapping[str, str]


DRILL_COLUMNS = ("drill", "title", "tempos", "instruction", "how", "source", "note")
RHYTHM_COLUMNS = ("rhythm", "steps", "how", "source", "note")
LEVEL_COLUMNS = ("instrument", "quiet_db", "loud_db", "how", "source", "note")
ORDER_COLUMNS = ("order", "instruction", "how", "source", "note")


@cache
def practice_tables() -> PracticeTables:
    """Read tables/practice once; TableError names table, row and column when a cell is wrong.

    >>> practice_tables().rhythms[0]
    Rhythm(name='LS', steps=(3, 1))
    """
    return PracticeTables(
        figures=figures("practice/figures.csv", PracticeFigures),
        drills=MappingProxyType(
            {row.text("drill"): _drill(row) for row in rows_of("practice/drills.csv", DRILL_COLUMNS)}
        ),
        rhythms=tuple(_rhythm(row) for row in rows_of("practice/rhythms.csv", RHYTHM_COLUMNS)),
        exposure=figures("practice/exposure.csv", ExposureFigures),
        levels=MappingProxyType(
            {
                row.text("instrument"): (row.decimal("quiet_db"), row.decimal("loud_db"))
                for row in rows_of("practice/sound_levels.csv", LEVEL_COLUMNS)
            }
        ),
        health=MappingProxyType(scale("practice/health.csv")),
        orders=MappingProxyType(
            {
                row.text("order"): row.text("instruction")
                for row in rows_of("practice/orders.csv", ORDER_COLUMNS)
            }
        ),
    )


def _drill(row: Row) -> DrillKind:
    return DrillKind(row.text("drill"), row.text("title"), row.number("tempos"), row.text("instruction"))


def _rhythm(row: Row) -> Rhythm:
    name, steps = row.text("rhythm"), tuple(int(word) for word in row.words("steps") if word.isdecimal())
    if len(steps) != len(name) or any(
        (step > 1) != (sign == "L") for step, sign in zip(steps, name, strict=True)
    ):
        raise row.error("steps", "one step a sign: 1 for S, more for L")
    return Rhythm(name, steps)
