"""What a plan is for, and what its signs mean, as a player reads it."""

import re
from collections.abc import Iterable, Iterator, Sequence

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.model.passage import (
    ASKED,
    ASSUMED,
    PLAYBACK,
    PRINTED,
    WORD,
    Passage,
    last_bar,
    quarters_of,
)
from gripway.model.tempo import beat_name, tempo_words
from gripway.page.sheet.goal_words import goal_beside_mark
from gripway.page.sheet.outlook_words import (
    is_of_the_file,
    wide_trills,
    wide_words,
)
from gripway.page.sheet.pace_words import FROM_BAR, about_words, tempos_words, without_click
from gripway.practice.cells.counted_beat import counted_beat
from gripway.practice.cells.slurred_graces import graces_to_ask
from gripway.practice.plan.goal import MetreChange, doubtful_goal, untold_changes
from gripway.practice.plan.plan import Plan, TempoFrom, tempos_of_stretch
from gripway.practice.ways.whole_passage import Stretch
from gripway.route.words.place_words import places_in_words, places_text
from gripway.route.words.sentence import TOUCH_NAMES

PLAIN_TOUCHES = frozenset({"T", "Eb", *(f"{hand}{finger}" for hand in "LR" for finger in range(1, 5))})
"""Touches that the order of a fingering explains by itself."""

GRIP = re.compile(r"((?:[A-G](?:##?|bb?)?\d )?(?:(?:Tb?|Hc|[1-4]) )*\|(?: (?:[1-4]|[A-Z][a-z]*)\b)*)")
"""A grip in short words, as `A6 T 2 4 | 1 Eb`; it is not broken at the end of a line."""

ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
"""Numbers of movements as they are printed."""

MOST_GOALS = 4
"""Tempos told as the goal of a passage."""


def heading_of(passage: Passage) -> tuple[str, str, str]:
    """Composer and work with its number (else the title), the part, and the bars; each may be empty.

    >>> heading_of(Passage((), title="Presto", part="Flute", composer="Doe, Jo", work="Suite"))
    ('Doe: Suite', 'Flute', '')
    """
    name = passage.composer.split(",")[0]
    work = passage.work or passage.title
    numbered = passage.opus and passage.opus.casefold() not in work.casefold()
    work = ", ".join(filter(None, (work, passage.opus * bool(numbered))))
    bars = [note.bar for note in passage.notes[:1] if note.bar]
    bars += [last_bar(note) for note in passage.notes[-1:] if note.bar]
    place = (
        f"bars {bars[0]} to {bars[-1]}" if bars and bars[0] != bars[-1] else f"bar {bars[0]}" if bars else ""
    )
    return ": ".join(filter(None, (name, work))), passage.part, place


def movement_of(passage: Passage) -> str:
    """Number and title of the movement; empty where the score names none.

    >>> movement_of(Passage((), title="Presto", work="Suite", movement="4"))
    'IV. Presto'
    >>> movement_of(Passage((), title="Suite", work="Suite", movement="4"))
    'movement IV'
    """
    number = passage.movement
    if number.isdecimal() and 0 < int(number) <= len(ROMAN):
        number = ROMAN[int(number) - 1]
    title = " ".join(passage.title.split())
    if not passage.work or title.casefold() in passage.work.casefold():
        return f"movement {number}" if number else ""
    return ". ".join(filter(None, (number, title)))


def silent_words(passage: Passage) -> str:
    """Which bars that were asked for are left out, as no note begins in them; empty where there are none.

    >>> silent_words(Passage((), silent_bars=("106",)))
    'Bar 106 is left out: no note begins there.'
    """
    bars = passage.silent_bars
    if not bars:
        return ""
    named = places_text([(bar, 0) for bar in bars])
    return (
        f"{named[0].upper()}{named[1:]} {'is' if len(bars) == 1 else 'are'} left out: no note begins there."
    )


def beyond_words(passage: Passage) -> str:
    """What to take along that was not asked for; empty where the passage begins and ends a phrase."""
    upbeat, held, on = passage.upbeat, passage.held_over, passage.on_to
    told = []
    if upbeat:
        told.append(f"Its upbeat is in bar {upbeat.notes[0].bar}: take it along.")
    if held and held.bar != passage.notes[0].bar:
        told.append(f"{held.pitch.name} is held on from before: play it from bar {held.bar} on.")
    if on:
        what = "last slur" if on[-1].slurred else "music"
        told.append(f"The {what} goes on to {on[-1].pitch.name} in bar {on[-1].bar}: take it along.")
    return " ".join(told)


ABOUT = "about: the part has no number there, follow the conductor"
ABOUT_ON_PAPER = "about: follow the conductor"
"""What a tempo is that no number tells."""


def goal_of(plan: Plan, on_paper: bool = False) -> str:
    """The tempo that the middle one of the notes has, and where it comes from; empty without a tempo.

    A tempo of the file alone is no goal: it is told as what the file plays. One that is not the printed mark
    is told with it. Of a passage in which the tempo changes all that it has: `goal: eighth = 138, from bar 63
    dotted quarter = 104 (as printed)`. On paper it is not told that it was asked for. What is about so fast
    is the conductor's.
    """
    if not _tempo_told(plan):
        return ""
    if is_of_the_file(plan):
        return no_mark_words(plan)
    told, source = _tempo_told(plan), source_words(plan.route.passage)
    kind, printed = plan.route.passage.tempo_from
    if kind == PRINTED and printed and printed not in told:
        source = f"printed: {printed}"
    if kind == ASKED:
        others = "; the other tempos in proportion" * (FROM_BAR in told and told.count(" = ") > 1)
        source = "" if on_paper else f"{source}{others}"
    far = goal_beside_mark(plan, practice_tables().figures)
    about = ABOUT_ON_PAPER if on_paper else ABOUT
    far += ": ask" * (doubtful_goal(plan.route.passage, practice_tables().figures) is not None)
    source = "; ".join(filter(None, (source, about * ("about " in told), far)))
    return f"goal: {told}{f' ({source})' * bool(source)}"


def no_mark_words(plan: Plan) -> str:
    """What to do where the tempo is only that of the file; empty elsewhere."""
    if not is_of_the_file(plan):
        return ""
    _, words = plan.route.passage.tempo_from
    word = f" ({words} is printed)" * bool(words)
    return f"no metronome mark is printed; the file plays {_tempo_told(plan)}{word}: set your own goal"


def _tempo_told(plan: Plan) -> str:
    """The tempo that the middle one of the notes has, or all that a passage changes to; empty without one."""
    notes, figures = plan.route.passage.notes, practice_tables().figures
    tempos = sorted((tempo, place) for place, note in enumerate(notes) if (tempo := quarters_of(note)))
    if not tempos:
        return ""
    tempo, place = tempos[len(tempos) // 2]
    told = tempo_words(counted_beat(notes[place].metre, tempo, figures), tempo)
    whole = Stretch(0, len(notes) - 1, ("", ""), 1.0, round(tempo), 1, 0.0)
    there = without_click(plan, whole, tempos_of_stretch(plan, whole, figures))
    each = _steady(there)
    beats = {counted_beat(notes[at].metre, each, figures) for each, at in tempos if notes[at].metre}
    if len(each) == 1 and len(beats) > 1:
        told = f"{tempo_words(each[0].beat, tempo)} throughout"
    if len(each) > MOST_GOALS:
        known = next((own for own in each if not own.about), None)
        told = tempo_words(known.beat, known.quarters) if known else told
        return f"{told}, other tempos of the part in proportion"
    return tempos_words(each) if len(each) > 1 else f"{''.join(map(about_words, each))}{told}"


def _steady(tempos: Iterable[TempoFrom]) -> list[TempoFrom]:
    """The tempos of a passage without the bars between them that go slower or faster on the way."""
    found: list[TempoFrom] = []
    for each in tempos:
        same = found and (found[-1].beat, found[-1].quarters) == (each.beat, each.quarters)
        found += [] if each.until or same else [each]
    return found


def source_words(passage: Passage) -> str:
    """Where the tempo of a passage comes from; empty where nothing tells.

    >>> source_words(Passage((), tempo_from=("word", "Allegro")))
    'from the word Allegro'
    """
    kind, words = passage.tempo_from
    return {
        PRINTED: "as printed",
        WORD: f"from the word {words}",
        PLAYBACK: f"as the file plays {words}" if words else "as the file plays; none is printed",
        ASKED: "as you asked",
    }.get(kind, "none is printed: a guess" if ASSUMED in (kind, passage.tempo_by) else "")


def asked_words(plan: Plan, *, first: bool) -> str:
    """What is to be asked before the first day, and on later ones that it is settled; empty without it.

    With room to write the answer in.
    """
    if first:
        asked = (metre_words(plan), grace_words(plan), wide_words(plan), *_blanks(plan))
        return " ".join(filter(None, asked))
    changes = untold_changes(plan.route.passage, practice_tables().figures)
    settled = {
        "tempo": [(each.bar, 0) for each in changes],
        "trill": [(note.note.bar, note.index) for note in wide_trills(plan)],
    }
    told = "; ".join(f"{places_text(where)}: {what} as settled" for what, where in settled.items() if where)
    return " ".join((f"{told[0].upper()}{told[1:]}.", *_blanks(plan))) if told else ""


BLANK = "_____"
"""Room for an answer."""


def _blanks(plan: Plan) -> Iterator[str]:
    """`Bar 209: _____ = _____.`, `Bar 87: D6 to _____.`: tempos nothing tells, notes to trill with."""
    for change in untold_changes(plan.route.passage, practice_tables().figures):
        if change.another_key:
            yield f"Bar {change.bar}: {BLANK} = {BLANK}."
    for note in wide_trills(plan):
        if note.note.bar:
            yield f"Bar {note.note.bar}: {note.note.pitch.name} to {BLANK}."


AS_BEFORE = "here it has the tempo of before"
"""The tempo of a metre that is back, as nothing tells another."""


def metre_words(plan: Plan) -> str:
    """What is to be asked where the metre changes and nothing tells the tempo; empty where it does not."""
    changes = untold_changes(plan.route.passage, practice_tables().figures)
    new, back = ([each for each in changes if each.back == is_back] for is_back in (False, True))
    if not new:
        return ""
    there = (f"Bar {each.bar} is back in {_metre(each)}: ask there too; {AS_BEFORE}." for each in back)
    return " ".join((_changes_words(new), *there))


def grace_words(plan: Plan) -> str:
    """What is to be asked of grace notes that may be meant on the beat; empty without such."""
    notes = plan.route.passage.notes
    there = graces_to_ask(notes)
    where = places_in_words([(notes[at].bar, at) for at in there]) if there else ""
    many = len(there) > 1
    return f"The grace note{'s' * many} {where}: before the beat or on it, as your teacher has it." * bool(
        there
    )


def _metre(change: MetreChange) -> str:
    return "{}/{}".format(*change.metre)


def _changes_words(changes: Sequence[MetreChange]) -> str:
    """What is to be asked where the metre is a new one."""
    stays = " and ".join(dict.fromkeys(beat_name(each.stays) for each in changes))
    first, *others = changes
    here = (
        f"until then the {stays} stays below"
        if any(each.another_key for each in changes)
        else f"here the {stays} stays"
    )
    asked = f"your teacher or conductor decides; {here}."
    if not others:
        return (
            f"Bar {first.bar} changes to {_metre(first)}; nothing tells whether its tempo is another: {asked}"
        )
    *most, last = [f"{each.bar} ({_metre(each)})" for each in changes]
    named = f"{', '.join(most)} and {last}"
    return f"The metre changes at bars {named}; nothing tells whether the tempo does: {asked}"


def time_words(load: float) -> str:
    """A load in words.

    >>> time_words(0.85)
    'takes 85 % of the time there is'
    """
    return f"takes {load * 100:.0f} % of the time there is"


def easy_words(plan: Plan) -> str:
    """Where nothing is hard, how much time the hardest change takes."""
    changes = [change for change in plan.line.changes if change.movers]
    worst = max(changes, key=lambda change: (change.load, -change.to))
    before, after = plan.route.notes[worst.to - 1].note, plan.route.notes[worst.to].note
    bar = f" in bar {after.bar}" if after.bar else ""
    return f"the hardest change, {before.pitch.name} to {after.pitch.name}{bar}, {time_words(worst.load)}."


def fingering_words(texts: Iterable[str]) -> str:
    """How to read the fingerings that stand in some texts, with the keys in them; empty where none does.

    >>> fingering_words(["Bb5 Tb 1 | 1 Eb to C6 1 | Eb."]).rpartition(", ")[2], fingering_words(["a b"])
    ('Tb thumb lever.', '')
    """
    grips = [grip[0].split() for text in texts for grip in GRIP.finditer(text)]
    if not grips:
        return ""
    touches = sorted({touch for grip in grips for touch in grip if touch in TOUCH_NAMES} - PLAIN_TOUCHES)
    keys = "".join(f", {touch} {TOUCH_NAMES[touch]}" for touch in touches)
    return (
        "Fingerings: T thumb, 1 to 4 the fingers from the index on, left hand | right hand, Eb its little "
        f"finger{keys}."
    )
