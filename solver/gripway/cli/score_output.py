"""A marked score as an answer: where it may go, and what is said beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain
from math import inf
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.marks_list import is_marks_list, list_beside, marks_list_text
from gripway.cli.finger_part import FingerPart
from gripway.cli.options.passage_choice import whole_notes
from gripway.cli.output import check_no_screen, tell, writing
from gripway.cli.progress import progress_on_stderr
from gripway.cli.renewed_marks import tell_stale
from gripway.cli.stderr_messages import say
from gripway.csv_text import csv_text
from gripway.display import counted
from gripway.edition.even_out import EVERY_OTHER
from gripway.edition.marks import played_differently
from gripway.edition.sparing import PER_NOTES, least_gain_of, most_marks
from gripway.errors import RequestError
from gripway.files import write_whole
from gripway.limits.wording import limit_remark
from gripway.model.decision import Decision
from gripway.model.house_style import PICTURE, HouseStyle
from gripway.model.passage import Remark, quarters_per_minute
from gripway.model.picture_name import pictures_folder
from gripway.page.report.house_marks import left_unmarked, left_words
from gripway.route.result import Route
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.editions import Edition, Known, edit, figures_of, marked_file
from gripway.tasks.fingerings import source_figures
from gripway.tasks.marks.marked_scores import marks_list_of

MOST_BARS = 12
"""So many bars are named of what was left unmarked."""

KEY_PAGE = "key.html"
PLAIN_ENDINGS = (".musicxml", ".xml")
COMPRESSED_ENDING = ".mxl"


def check_score_out(reading: ScoreReading | None, out: Path | None, house: HouseStyle) -> None:
    """Refuse a name that says something else than the file will be, and a zip on a terminal.

    Pictures need a name beside which they can stand.
    """
    if reading is None:
        raise RequestError("marks need a score", place="--format musicxml", next_step="Give a SCORE")
    compressed = reading.source.archive is not None
    if house.style == PICTURE and (compressed or out is None):
        raise RequestError(
            "picture marks stand as files beside a score that is not compressed",
            next_step="Give a .musicxml, and name the marked score: --out marked.musicxml",
        )
    if out is None:
        if compressed:
            check_no_screen("marked.mxl")
        return
    ending = out.suffix.lower()
    if compressed and ending in PLAIN_ENDINGS:
        raise RequestError(
            "the marked score is compressed like its source",
            place=str(out),
            next_step=f"Let the name end in {COMPRESSED_ENDING}",
        )
    if not compressed and ending == COMPRESSED_ENDING:
        raise RequestError(
            "the marked score is not compressed, like its source",
            place=str(out),
            next_step=f"Let the name end in {' or '.join(PLAIN_ENDINGS)}",
        )
    beside = list_beside(out)
    if beside.is_file() and not is_marks_list(beside):
        raise RequestError(
            "the list of marks would overwrite this file, which is none",
            place=str(beside),
            next_step="Choose another --out",
        )


def edited(parts: Sequence[FingerPart], house: HouseStyle, asked: dict[str, Any]) -> tuple[Edition, ...]:
    """Every part with one grip a figure and its marks; what there is to say goes to standard error."""
    editions: list[Edition] = []
    known: Known = {}
    for part in parts:
        passage, whole = part.source.passage, whole_notes(part.source, asked)
        if not asked["renew"]:
            tell_stale(part)
        if asked["keep_fingerings"]:
            known = {**source_figures(whole, part.mine, part.unkept), **known}
        with progress_on_stderr(len(passage.notes)) as progress:
            edition = edit(
                passage,
                part.mine,
                part.wishes,
                house,
                whole,
                known,
                part.unkept,
                progress,
                part.decided.by_note,
            )
        known = {**figures_of(edition), **known}
        editions.append(edition)
        tell(limit_remark(edition.even.route, edition.even.free))
        said = (*_left(edition, house), *_evened(edition), *_repeats(edition))
        tell((*part.remarks, *edition.even.route.passage.remarks, *said))
    return tuple(editions)


def marks_answer(
    form: str,
    parts: Sequence[FingerPart],
    editions: Sequence[Edition],
    house: HouseStyle,
    asked: dict[str, Any],
) -> str | bytes:
    """The marked score, the list of the marked notes of all parts, or how to read the marks."""
    if form.startswith("critical"):
        return _critical(form, parts, editions, house, asked)
    if form == "decisions":
        return _decisions(parts, editions, asked)
    if form.startswith("legend"):
        from gripway.edition.legend import legend_of
        from gripway.page.legend_document import legend_page, legend_text

        legend = legend_of(
            chain.from_iterable(edition.marked for edition in editions),
            fingered=any(note.fingering for part in parts for note in part.source.passage.notes),
        )
        plain = form == "legend"
        return legend_text(legend, house) if plain else legend_page(legend, house, parts[0].mine.instrument)
    readings = [part.source.reading for part in parts if part.source.reading]
    out = asked["out"]
    folder = pictures_folder(out.stem) if out is not None else ""
    return marked_file(readings, editions, house, folder)


def write_marks_list(marked: bytes, out: Path, routes: Sequence[Route], score: Path | None) -> None:
    """The list of our marks beside a marked score: nothing where there are none and were none."""
    beside, text = list_beside(out), marks_list_of(marked, out.name, routes, score)
    if not text and not beside.is_file():
        return
    with writing(beside):
        write_whole(beside, (text or marks_list_text(())).encode())
    say(f"wrote {beside} (the list of our marks)")


def write_pictures(
    parts: Sequence[FingerPart], editions: Sequence[Edition], house: HouseStyle, out: Path
) -> None:
    """The pictures of picture marks in a folder beside the score, with a page that says what they mean."""
    from gripway.edition.legend import legend_of
    from gripway.page.legend_document import legend_page
    from gripway.tasks.editions import grip_pictures

    folder = out.parent / pictures_folder(out.stem)
    legend = legend_of(chain.from_iterable(edition.marked for edition in editions))
    key = legend_page(legend, house, parts[0].mine.instrument)
    pictures = {**grip_pictures(editions), KEY_PAGE: key.encode()}
    with writing(folder):
        folder.mkdir(exist_ok=True)
        for name, picture in pictures.items():
            write_whole(folder / name, picture)
    say(f"wrote {folder} (the pictures, and {KEY_PAGE} to print)")


def _critical(
    form: str,
    parts: Sequence[FingerPart],
    editions: Sequence[Edition],
    house: HouseStyle,
    asked: dict[str, Any],
) -> str:
    """The list of the marked and decided notes as CSV, as a page or as Markdown."""
    from gripway.edition.critical_notes import COLUMNS, CriticalSource, critical_notes
    from gripway.page.critical_document import CriticalPart, critical_markdown, critical_page

    found = []
    for part, edition in zip(parts, editions, strict=True):
        passage = part.source.passage
        route, decided = edition.even.route, part.decided.by_note
        words = left_words(house, len(route.passage.notes))
        left = [(each, words[each.why]) for each in edition.left]
        rows = critical_notes(
            CriticalSource(passage.part, route.notes, edition.marked, decided, _free(part), left)
        )
        made = _how_made(route, house, asked)
        found.append(CriticalPart(passage.title, part.mine.instrument, tuple(rows), made, house.hand))
    if form == "critical":
        return csv_text(chain.from_iterable(each.rows for each in found), COLUMNS)
    return critical_page(found) if form == "critical-html" else critical_markdown(found)


def _free(part: FingerPart) -> Route | None:
    """The route of a part without its decisions, by which they are measured; None where there are none."""
    if not part.decided.by_note or part.undecided is None:
        return None
    from gripway.tasks.routes import finger

    return finger(part.source.passage, part.mine, replace(part.undecided, others=EVERY_OTHER))


def _how_made(route: Route, house: HouseStyle, asked: dict[str, Any]) -> str:
    """The tempo and the house style of an edition in words."""
    tempo = f"Quarter = {quarters_per_minute(route.passage):.0f}" if route.passage.notes else ""
    name = asked["house_file"].name if asked["house_file"] else "none"
    least = f"marks save {least_gain_of(house):g} effort or more" if least_gain_of(house) else ""
    most = most_marks(house, PER_NOTES)
    limit = f"at most {most:g} of {PER_NOTES} notes" if most < inf else ""
    said = ", ".join(filter(None, (f"house style: {name}", f"marks for {house.which}", least, limit)))
    return f"{tempo}; {said}." if tempo else f"{said}."


def no_marks(form: str) -> str:
    """The lists of a score without a note, `critical` or `decisions`."""
    from gripway.catalog.own_files.decisions_file import decisions_text
    from gripway.edition.critical_notes import COLUMNS

    return csv_text((), COLUMNS) if form == "critical" else decisions_text(())


def _decisions(parts: Sequence[FingerPart], editions: Sequence[Edition], asked: dict[str, Any]) -> str:
    """A file of decisions: those that are given, at their places of today; without any, all marks."""
    from gripway.tasks.decisions import as_decisions, decisions_text

    found: list[Decision] = []
    only_known = asked["decisions_file"] is not None
    for part, edition in zip(parts, editions, strict=True):
        whole = whole_notes(part.source, asked)
        marked = () if only_known else edition.marked
        found += as_decisions(whole, part.source.passage.part, marked, part.decided)
    more = sum(each.decision is None for edition in editions for each in edition.marked)
    if only_known and more:
        tell(
            (
                Remark(
                    f"{counted(more, 'mark')} not decided and not written here: without --decisions all are"
                ),
            )
        )
    return decisions_text(found)


def _left(edition: Edition, house: HouseStyle) -> Iterator[Remark]:
    """What has another grip than the plain one and no mark: how many notes, why, and in which bars."""
    written = len(edition.even.route.passage.notes)
    for left in left_unmarked(edition.left, house, written):
        bars = list(dict.fromkeys(note.note.bar for note in left.notes if note.note.bar))
        where = f"; bars {', '.join(bars[:MOST_BARS])}{' ...' if len(bars) > MOST_BARS else ''}"
        yield Remark(f"left unmarked: {counted(len(left.notes), 'note')}, {left.why}{where if bars else ''}")


def _evened(edition: Edition) -> Iterator[Remark]:
    """What was done so that the same figure has the same grip, and where it could not be done."""
    even = edition.even
    if even.changed:
        more = even.route.effort - even.free.effort
        bars = ", ".join(dict.fromkeys(even.route.notes[place].note.bar for place in even.changed))
        yield Remark(
            f"one grip for every figure: {len(even.changed)} notes have another grip than alone "
            f"({more:+.2f} effort), in bars {bars}"
        )
    for place in even.uneven:
        note = even.route.notes[place].note
        yield Remark(f"the figure of {note.pitch.name} keeps two grips", bar=note.bar, note_id=note.id)


def _repeats(edition: Edition) -> Iterator[Remark]:
    """A remark for every written note that a repeat plays with another grip than its mark says."""
    route = edition.even.route
    first = {note.note.id: note for note in reversed(route.notes)}
    for note in played_differently(route):
        before = first[note.note.id].candidate
        grips = [grip.grip.short if grip else "no grip" for grip in (before, note.candidate)]
        yield Remark(
            f"{note.note.pitch.name} is {grips[0]} the first time and {grips[1]} in the repeat; "
            "its mark says the first",
            bar=note.note.bar,
            note_id=note.note.id,
        )
