"""The sizes and kinds behind a practice plan: tables/practice as frozen, named values."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import Row
from gripway.catalog.tables.figure_table import figures, named_figures, rows_of

MIXED, BLOCKED, INTERLEAVED = "mixed", "blocked", "interleaved"


@dataclass(frozen=True, slots=True)
class PracticeFigures:
    """The rows of tables/practice/figures.csv; each field is a row's id."""

    hard_load: float
    tight_load: float
    early_load: float
    early_lowest_note_number: int
    early_break_note_number: int
    early_highest_note_number: int
    early_third_note_number: int
    early_most_fingers: int
    easy_fingers: int
    easy_highest_note_number: int
    one_way_share: float
    alone_times: float
    alone_share: float
    beside_share: float
    cell_usual_notes: int
    longer_share: float
    cell_notes: int
    told_high_note_number: int
    most_cell_drills: int
    most_cells: int
    goal_least_share: float
    goal_most_share: float
    goal_meant_share: float
    goal_told_share: float
    metre_least_bars: int
    gradual_most_bars: int
    start_easy_load: float
    start_hard_load: float
    least_beats_a_minute: int
    most_beats_a_minute: int
    start_least_share: float
    start_most_share: float
    notch_share: float
    sitting_notches: int
    back_notches: int
    plateau_days: int
    plateau_notches: int
    clean_times: int
    clean_more_min: int
    errors_slow_share: float
    errors_goal_share: float
    below_tempos: int
    stride_notches: int
    stride_from_tempos: int
    breath_s: float
    tempos_day_min: float
    item_least_min: float
    item_most_min: float
    bar_most_min: float
    item_share: float
    passage_share: float
    passage_times: int
    run_share: float
    passage_most_times: int
    passage_short_times: int
    passage_short_s: float
    passage_long_s: float
    passage_long_times: int
    around_share: float
    around_places: int
    around_least_bars: int
    around_notches: int
    around_load: float
    around_ahead_notches: int
    around_alike_share: float
    around_whole_share: float
    study_share: float
    section_share: float
    long_passage_share: float
    tone_every_min: int
    next_load: float
    next_bars: int
    next_bar_min: float
    next_notes: int
    next_moves_share: float
    study_from_min: float
    free_share: float
    study_least_min: float
    study_least_share: float
    study_most_ways: int
    study_more_ways: int
    study_idle_ways: int
    study_way_min: float
    study_slow_ms: float
    study_dotted_share: float
    study_against_share: float
    study_tempos: int
    study_most_bars: int
    study_long_ms: float
    study_hold_s: float
    study_high_note_number: int
    high_change_note_number: int
    study_lower_note_number: int
    study_lower_s: float
    study_lower_high_s: float
    study_lower_share: float
    flute_lowest_note_number: int
    piccolo_lowest_note_number: int
    piccolo_high_note_number: int
    loud_most_note_number: int
    high_tempos: int
    two_note_tempos: int
    study_moving_share: float
    study_rest_ms: float
    passage_notches: int
    passage_near_share: float
    closing_notches: int
    part_notches: int
    part_ahead_notches: int
    music_slow_ms: float
    others_notches: int
    cell_notches: int
    rest_most_s: float
    study_fast_ms: float
    study_tongue_ms: float
    study_double_ms: float
    study_burst_ms: float
    study_tongued_share: float
    study_slurred_share: float
    study_moves_share: float
    study_singing_ms: float
    breath_most_s: float
    breath_rest_ms: float
    breath_most_lines: int
    line_share: float
    line_most_bars: int
    run_changes: int
    run_more_times: int
    hold_least_fingers: int
    least_cell_load: float
    least_cell_drills: int
    least_cell_days: int
    easy_cell_load: float
    beside_run_load: float
    familiar_load: float
    easy_cell_drills: int
    ahead_notches: int
    drone_share: float
    drone_note_ms: float
    drone_notes: int
    drone_sound_share: float
    drone_bars: int
    drone_margin_share: float
    drone_strange_share: float
    passage_least_min: float
    spot_most_min: float
    spot_share: float
    spot_usual_min: float
    visits_usual_days: int
    rest_s: float
    long_rest_min: int
    long_rest_share: float
    long_rest_every_min: int
    gap_most_days: int
    visit_drills: int
    day_usual_min: int
    day_most_drills: int
    day_most_things: int
    kept_drills: int
    sure_days: int
    sure_tempos: int
    day_new_signs: int
    drill_signs: int
    visit_gain: int
    return_gain: int
    sure_gain: int
    visit_less_gain: int
    drill_gain: int
    again_gain: int
    again_plain_gain: int
    last_gain: int
    first_gain: int
    second_gain: int
    reached_most_share: float
    reached_share: float
    weight_place_share: float
    weight_places: int
    weight_early_share: float
    balance_watch_support: float
    trill_start_load: float
    trill_fingers: int
    ending_easy_ms: float
    grace_easy_ms: float
    short_trill_notes: int
    trill_most_notes_a_second: float
    trill_quarters_a_minute: float
    warm_up_changes: int
    warm_up_min: float
    warm_up_lowest_note_number: int
    pays_load: float
    try_less_load: float
    try_most_cents: float
    pays_less_load: float


@dataclass(frozen=True, slots=True)
class ExposureFigures:
    """The values of article 3 of Directive 2003/10/EC."""

    lower_action_db_a: float
    upper_action_db_a: float
    limit_db_a: float
    day_min: float
    exchange_db: float


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
class Way:
    """A way to work on the passage, or (`of_cell`) on the bars of a cell with `bars` before them.

    A way `of_place` is for the bar of a hard change without drills, one `of_bars` for the bars that have most
    of what it `seeks`, in `least` places at least, or counted so. From day `from_day` on; with `fast` only
    where the notes run, with `quick` where they are too quick for a single tongue, with `triplets` where they
    stand in threes, never over music that is `not_over` (ornaments, still, easy, slurred, repeats, triplets,
    held). `share` of the day's tempo, 0: none.
    """

    id: str
    title: str
    of_cell: bool
    of_place: bool
    of_bars: bool
    seeks: str
    least: int
    from_day: int
    fast: bool
    quick: bool
    triplets: bool
    not_over: frozenset[str]
    bars: int
    share: float
    times: int
    instruction: str

    @property
    def of_part(self) -> bool:
        """Whether it is work on some bars, not on the passage."""
        return self.of_cell or self.of_place or self.of_bars


@dataclass(frozen=True, slots=True)
class PracticeTables:
    """All of tables/practice.

    `drills` are by id, in the order a cell meets them; `levels` has the quiet and the loud level
    (dB) by instrument id, `health` the survey's percentages by id, `orders` what to do by
    mixed, blocked and interleaved; `ways` are by id, in the order of a course.
    """

    figures: PracticeFigures
    drills: Mapping[str, DrillKind]
    rhythms: tuple[Rhythm, ...]
    exposure: ExposureFigures
    levels: Mapping[str, tuple[float, float]]
    health: Mapping[str, float]
    orders: Mapping[str, str]
    ways: Mapping[str, Way]


DRILL_COLUMNS = ("drill", "title", "tempos", "instruction", "how", "source", "note")
RHYTHM_COLUMNS = ("rhythm", "steps", "how", "source", "note")
LEVEL_COLUMNS = ("instrument", "quiet_db", "loud_db", "how", "source", "note")
WAY_COLUMNS = (
    *("way", "title", "on", "seeks", "least", "from_day", "runs", "not_over", "bars", "share", "times"),
    *("instruction", "how", "source", "note"),
)
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
        health=MappingProxyType(named_figures("practice/health.csv")),
        orders=MappingProxyType(
            {
                row.text("order"): row.text("instruction")
                for row in rows_of("practice/orders.csv", ORDER_COLUMNS)
            }
        ),
        ways=MappingProxyType(
            {row.text("way"): _way(row) for row in rows_of("practice/ways.csv", WAY_COLUMNS)}
        ),
    )


def _drill(row: Row) -> DrillKind:
    return DrillKind(row.text("drill"), row.text("title"), row.number("tempos"), row.text("instruction"))


def _way(row: Row) -> Way:
    return Way(
        row.text("way"),
        row.text("title"),
        of_cell=row.text("on") == "cell",
        of_place=row.text("on") == "place",
        of_bars=row.text("on") == "bars",
        seeks=row.text("seeks"),
        least=row.number("least"),
        from_day=row.number("from_day"),
        fast="fast" in row.words("runs"),
        quick="quick" in row.words("runs"),
        triplets="triplets" in row.words("runs"),
        not_over=frozenset(row.words("not_over")),
        bars=row.number("bars"),
        share=row.decimal("share"),
        times=row.number("times"),
        instruction=row.text("instruction"),
    )


def _rhythm(row: Row) -> Rhythm:
    name, steps = row.text("rhythm"), tuple(int(word) for word in row.words("steps") if word.isdecimal())
    if len(steps) != len(name) or any(
        (step > 1) != (sign == "L") for step, sign in zip(steps, name, strict=True)
    ):
        raise row.error("steps", "one step a sign: 1 for S, more for L")
    return Rhythm(name, steps)
