"""Lays the model beside what teachers say of pitch and response: python -m tests.acoustics.agreement.

Nothing in the model is fitted to these words. Words that the tables call our own estimate (`lean_how`)
are counted apart; of a response, which has no such column, those of rows that have the model among
their sources and no teacher as the main one.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from gripway.acoustics.make_survey import survey
from gripway.candidates.candidates import Candidates
from gripway.catalog.flute.grip_cells import grip_of, note_number
from gripway.catalog.flute.grips import GRIP_COLUMNS
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.leans import LeanWord, lean_words
from gripway.catalog.flute.trills import read_trills
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.model.grip import Grip
from gripway.model.pitch import plain_name
from gripway.model.survey import HIGHEST_CLAIM, Verdict
from gripway.tasks.flute_knowledge import knowledge_of, survey_of

NO_EFFECT_CENTS = 3.0
"""Below this the model says that nothing happens."""

AGREES, NO_EFFECT, CONTRADICTS, SILENT = "agrees", "no effect", "CONTRADICTS", "silent"
TEACHERS: str = "teachers"
SHARED: str = "shared"
HARMONICS: str = "harmonics"
OWNERS = {"taught": TEACHERS, "judgement": TEACHERS, "modelled": SHARED}
"""Whose a word for pitch is; a judgement keeps the teachers' word beside our reading of it."""

NO_TEACHERS = {"common-practice", "recalled-charts", "own-model", "own-judgement"}

RESPONSES = {
    "easy": "easier", "resistant": "harder", "airy": "harder", "weak": "harder", "undertone": "undertone",
}  # fmt: skip
"""What a word for response asks of loss and gap; `plain` and `hardly-speaks` (D7 only) ask nothing."""


class Remark(NamedTuple):
    """What the tables say of the pitch of one grip of a note number, against the standard grip."""

    number: int
    grip: Grip
    said: LeanWord
    group: str
    sources: tuple[str, ...]
    needs: tuple[str, ...]


@dataclass(frozen=True)
class Judged:
    """A remark beside the model: what each says, and how they compare."""

    number: int
    grip: Grip
    word: str
    shown: str
    how: str
    group: str
    model_named: bool
    said_cents: float = 0.0
    found_cents: float | None = None

    @property
    def octave(self) -> int:
        """1 to 3; C7 and above count with the third."""
        return min(3, max(1, (self.number - 48) // 12))

    @property
    def line(self) -> str:
        """One line of the report."""
        star = "*" if self.model_named else " "
        return f"  {place(self.number, self.grip)} {self.word:<20}{star} {self.shown:<40} {self.how}"


def place(number: int, grip: Grip) -> str:
    """Note and grip in their columns."""
    return f"{plain_name(number):<4} {grip.text:<26}"


def grip_table() -> Iterator[Row]:
    """The taught rows of the table of grips, words and all."""
    table = "grips/concert-flute.csv"
    rows = read_rows(tables_folder() / table, table, GRIP_COLUMNS)
    return (row for row in rows if row.cells["how"] == "taught")


def remarks() -> list[Remark]:
    """Every taught word for pitch against the standard grip, each grip once, low to high."""
    found = {(one.number, one.grip): one for one in (*_of_trills(), *_of_grips())}
    return sorted(found.values(), key=lambda one: one.number)


def _of_grips() -> Iterator[Remark]:
    for row in grip_table():
        if row.cells["lean_basis"] == "standard" and row.cells["lean_word"]:
            said, number = lean_words()[row.text("lean_word")], note_number(row, "pitch")
            group = HARMONICS if row.text("kind") == "harmonic" else OWNERS[row.text("lean_how")]
            yield Remark(number, grip_of(row, "grip"), said, group, row.words("source"), row.words("needs"))


def _of_trills() -> Iterator[Remark]:
    """The same out of the trills, where a lean is the size of a word and not the model's number."""
    words = {word.cents: word for word in lean_words().values() if word.cents}
    for row in read_trills("concert-flute"):
        if (row.how, row.lean_how, row.basis) == ("taught", "taught", "standard"):
            sides = ((row.lower, row.lower_cents), (row.upper, row.upper_cents))
            for grip, (number, cents) in zip(row.grips, sides, strict=True):
                if cents:
                    yield Remark(number, grip, words[cents], TEACHERS, row.sources, tuple(sorted(row.needs)))


def group_of(kind: str, sources: Sequence[str]) -> str:
    """Harmonics are a class of their own; elsewhere the main source says whose word it is."""
    if kind == "harmonic":
        return HARMONICS
    return SHARED if "own-model" in sources and sources[0] in NO_TEACHERS else TEACHERS


@cache
def standard_grip(number: int, needs: tuple[str, ...] = ()) -> Grip:
    """The standard grip that a note's cents are measured from."""
    row = Candidates(knowledge_of(load_instrument("concert-flute", needs))).standard_row(number)
    assert row is not None
    return row.grip


@cache
def standard_response(number: int, needs: tuple[str, ...] = ()) -> str:
    """The word for the response of a note's standard grip; the same word of another grip compares nothing."""
    usual = standard_grip(number, needs)
    found = [
        row.cells["response"]
        for row in grip_table()
        if (note_number(row, "pitch"), grip_of(row, "grip")) == (number, usual)
    ]
    return found[0] if found else ""


@cache
def verdict_on(number: int, grip: Grip, needs: tuple[str, ...] = ()) -> Verdict | None:
    """The survey's verdict on a grip; grips that are never proposed are asked for by themselves."""
    instrument = load_instrument("concert-flute", needs)
    whole, key = survey_of(instrument), (number, grip)
    assert whole is not None
    if key in whole.verdicts or number > HIGHEST_CLAIM:
        return whole.verdicts.get(key)
    alone = survey(instrument, [key], {number: standard_grip(number, needs)})
    return alone.verdicts.get(key) if alone else None


def judged(said_cents: float, spread_cents: float, found_cents: float | None) -> str:
    """Whether the model's cents have the direction that is said; a word for "the same" has its spread."""
    if found_cents is None:
        return SILENT
    if said_cents == 0.0:
        return AGREES if abs(found_cents) <= max(NO_EFFECT_CENTS, spread_cents) else CONTRADICTS
    if abs(found_cents) < NO_EFFECT_CENTS:
        return NO_EFFECT
    return AGREES if (found_cents > 0.0) == (said_cents > 0.0) else CONTRADICTS


@cache
def pitch() -> tuple[Judged, ...]:
    """Every remark on pitch beside the model."""
    return tuple(_pitch(remark, verdict_on(*remark[:2], remark.needs)) for remark in remarks())


def _pitch(remark: Remark, verdict: Verdict | None) -> Judged:
    said, found = remark.said, verdict.vs_standard if verdict else None
    shown = f"{verdict.vs_standard:+.1f} +-{verdict.spread_cents:.0f}" if verdict else "says nothing"
    how, named = judged(said.cents, said.spread_cents, found), "own-model" in remark.sources
    return Judged(remark.number, remark.grip, said.word, shown, how, remark.group, named, said.cents, found)


def response_word(verdict: Verdict, standard: Verdict) -> str:
    """What loss and gap say of a grip beside the standard one, by the limits of the free fingers."""
    limits, gap, usual = acoustic_limits(), verdict.gap_cents or 1e4, standard.gap_cents or 1e4
    if abs(gap - 1200.0) <= 50.0 < abs(usual - 1200.0):  # an octave below, where the standard has none
        return "undertone"
    steps = (gap > usual) - (gap < usual)
    if abs(gap - usual) < limits.free_gap_cents or min(gap, usual) >= limits.free_gap_wide_cents:
        steps = 0
    harder = verdict.loss_ratio >= 1.0 + limits.free_loss_share or steps < 0
    easier = verdict.loss_ratio <= 1.0 - limits.free_loss_share or steps > 0
    return "" if harder == easier else ("harder" if harder else "easier")


@cache
def response() -> tuple[Judged, ...]:
    """Every taught word for response beside the model's loss and gap."""
    return tuple(_response(row) for row in grip_table() if row.cells["response"] in RESPONSES)


def _response(row: Row) -> Judged:
    number, grip, needs, sources = (
        note_number(row, "pitch"), grip_of(row, "grip"), row.words("needs"), row.words("source"),
    )  # fmt: skip
    usual = standard_grip(number, needs)
    verdict, standard = verdict_on(number, grip, needs), verdict_on(number, usual, needs)
    word, shown, how = row.text("response"), "says nothing", SILENT
    if verdict and standard:
        gaps = [f"{v.gap_cents:.0f}" if v.gap_cents else "none" for v in (verdict, standard)]
        shown = f"loss x{verdict.loss_ratio:.2f}, gap {gaps[0]} (standard {gaps[1]})"
    if verdict and standard and grip != usual and word != standard_response(number, needs):
        said = response_word(verdict, standard)
        how = NO_EFFECT if not said else (AGREES if said == RESPONSES[word] else CONTRADICTS)
    group = group_of(row.text("kind"), sources)
    return Judged(number, grip, word, shown, how, group, "own-model" in sources)


def counts(found: Iterable[Judged], group: str, octave: int | None = None) -> Counter[str]:
    """How many of a group, or of one octave of it, agree, show no effect, contradict, are not judged."""
    return Counter(one.how for one in found if one.group == group and octave in (None, one.octave))


def directed() -> list[tuple[float, float]]:
    """Said and modelled cents of the teachers' remarks that have a direction and a verdict."""
    return [
        (one.said_cents, one.found_cents)
        for one in pitch()
        if one.group == TEACHERS and one.said_cents and one.found_cents is not None
    ]


def size_correlation() -> float:
    """Rank correlation of said and modelled sizes."""
    from scipy.stats import spearmanr  # takes a second to load

    return float(spearmanr(directed()).statistic)


def told(number: int, grip: Grip) -> str:
    """What a player is told of a grip's pitch from equal temperament, and whose word it is."""
    book = Candidates(knowledge_of(load_instrument("concert-flute")))
    found = book.plain(next(row for row in book.rows(number) if row.grip == grip))
    lean = found.tendency
    return f"{lean.cents:+.0f} ({lean.source}{', disputed' if found.disputed else ''})"


if __name__ == "__main__":
    from tests.acoustics.report import show_agreement  # it prints what is found here

    show_agreement()
