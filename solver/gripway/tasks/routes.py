"""The route of a passage, and whether leaving the standard grips is worth it."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from gripway.asked.limits import NO_LIMITS, Limits
from gripway.asked.pins import ban_of, pin_of
from gripway.asked.wishes import LEAST_EFFORT, Pin, Wishes
from gripway.candidates.with_found_grips import beside_of
from gripway.errors import check_kind, check_whole
from gripway.model.passage import Passage
from gripway.model.player import PLAIN_PLAYER, Ban, Player
from gripway.route.result import Route
from gripway.route.route_data import note_frame as note_frame
from gripway.route.route_frames import change_frame as change_frame
from gripway.route.route_frames import curve_frame as curve_frame
from gripway.route.route_frames import ledger_frame as ledger_frame
from gripway.route.solve import Progress
from gripway.tasks.flute_player import Flute, asked_of, passage_of
from gripway.tasks.flutes import player as read_player_of

if TYPE_CHECKING:
    from gripway.route.tempo.tempo_threshold import Threshold, Worth
    from gripway.score.reading.score_reading import ScoreReading


def finger(
    passage: "Passage | ScoreReading",
    instrument: Flute | None = None,
    wishes: Wishes | None = None,
    progress: Progress | None = None,
) -> Route:
    """The least awkward grips for a passage.

    `passage` is what `notes` or `read` gives; without an `instrument` it is the player's own flute, or the
    concert flute; `wishes` (pins, bans, limits, the player) what `wishes` reads from texts. Raises
    RequestError for pins that cannot hold, spans of limits that hold no note, or an empty passage; notes that
    have no grip and limits in conflict are statuses in the route. The route's effort counts holding every
    grip and moving between them: at a slower tempo changes cost less and long notes more, so that it may
    rise. `progress` is called with how many notes of how many are done. What each part of the effort
    measures, its unit and its source: `gripway schema finger --format text`, `gripway help trust`.

    >>> import gripway
    >>> gripway.finger(gripway.notes("E6 F#6 G#6 A6", tempo=112), gripway.flute())
    <Route: concert-flute, 4 notes, optimal, effort 0.698>
    """
    mine, wishes = asked_of(instrument, wishes)
    passage = passage_of(passage)
    if not wishes.limits:
        return mine.solved(passage, wishes, progress)[0]
    from gripway.limits.answer import solve_within

    solver, passage = mine.ready(passage, wishes)
    return solve_within(solver, passage, wishes, progress)


def wishes(
    *,
    player: Player | str | Path = PLAIN_PLAYER,
    pins: Pin | str | Iterable[Pin | str] = (),
    bans: Ban | str | Iterable[Ban | str] = (),
    limits: Limits | str | Iterable[str] = NO_LIMITS,
    choose: str = LEAST_EFFORT,
    learn: int | None = None,
    curve: bool = False,
    others: int = 4,
) -> Wishes:
    """Wishes from the texts the command takes: `--pin`, `--ban`, `--limit`, `--player` and the rest.

    `pins` are `NOTE=GRIP`, where NOTE is the note's id (the `id` column of `note_frame`) or its number
    counted from 1, as the command shows it: `index` 2 of `note_frame`, which counts from 0, is number 3.
    `bans` are `PITCH=GRIP`, a grip with its bar (banned at every pitch) or a kind of grip; `limits` are words
    such as `at most 3 unusual grips` (`gripway help limits` has all); `player` is a Player or their file.
    `choose` is effort, standard or movers; `learn` the most new grips (None: those that pay); `curve` asks
    for the learning curve; `others` is how many runners-up a note gets. Raises RequestError for a text or a
    value that means nothing, with what to write, PlayerFileError for a faulty file.

    >>> import gripway
    >>> gripway.wishes(pins="3=T 1 | Eb", bans=["harmonic"], limits="thumb stays").pins
    (Pin(note=2, grip=Grip.parse('T L1 | Eb')),)
    """
    if isinstance(player, str | Path):
        player = read_player_of(player)
    if not isinstance(limits, Limits):
        from gripway.asked.limit_words import parse_limits

        words = (limits,) if isinstance(limits, str) else tuple(limits)
        limits = parse_limits(words, place="limits") if words else NO_LIMITS
    return Wishes(
        player=player,
        pins=tuple(pin_of(pin, place="pins") if isinstance(pin, str) else pin for pin in _each(pins)),
        bans=tuple(ban_of(ban, place="bans") if isinstance(ban, str) else ban for ban in _each(bans)),
        choose=choose,
        learn=learn,
        curve=curve,
        others=others,
        limits=limits,
    )


T = TypeVar("T", Pin, Ban)


def _each(given: T | str | Iterable[T | str]) -> tuple[T | str, ...]:
    """What is given one by one: one text, pin or ban is one thing."""
    if isinstance(given, str | Pin | Ban):
        return (given,)
    check_kind(given, Iterable, "list of pins or bans", 'Write pins="n3=T 1 | Eb", bans="harmonic"')
    return tuple(given)


LONGEST_FOR_THRESHOLD = 200
"""Notes up to which the whole passage is tried at other tempos; longer ones by their hard spots only."""


MOST_SPOTS = 3
"""So many hard changes an explained answer and a report look at beside the passage."""


def worth_it(route: Route, instrument: Flute, wishes: Wishes | None = None, spots: int = 0) -> "Worth | None":
    """The tempos below which the standard grips do as well, for a passage and some of its hardest changes.

    Tempos are quarters a minute. `route` is what `finger` gives for these wishes, `spots` how many hard
    changes are looked at (the command: none, with `--explain` three). Pins are kept. None where there is
    nothing to compare: no note has a grip, the route was not chosen for the least effort, or limits over
    the whole passage or a number of grips to learn were asked for.

    >>> import gripway
    >>> fast = gripway.finger(gripway.notes("(E6 F#6 G#6 A6)", tempo=160), gripway.flute())
    >>> gripway.worth_it(fast, gripway.flute())
    <Worth: saves 0.000, 0 spots>
    """
    from gripway.route.tempo.tempo_threshold import HardSpot, Worth, around, threshold

    check_whole(spots, "spots")
    mine, wishes = asked_of(instrument, wishes)
    asked_for = wishes.limits or wishes.learn is not None
    if wishes.choose != LEAST_EFFORT or asked_for or not any(note.candidate for note in route.notes):
        return None
    passage = route.passage
    solver = mine.solver(wishes, beside_of(passage))
    wishes = replace(wishes, curve=False)
    by_id = tuple(
        replace(pin, note=passage.notes[pin.note].id) if isinstance(pin.note, int) else pin
        for pin in wishes.pins
    )

    def at(part: Passage, as_written_milli: int | None = None) -> "Threshold":
        ids = {note.id for note in part.notes}
        pins = tuple(pin for pin in by_id if pin.note in ids)
        return threshold(part, replace(wishes, pins=pins), solver, as_written_milli)

    known = route.effort_milli if by_id == wishes.pins else None  # else a repeat may have more pins
    whole = at(passage, known) if len(passage.notes) <= LONGEST_FOR_THRESHOLD else None
    return Worth(whole, tuple(HardSpot(to, at(around(passage, to))) for to in route.hardest[:spots]))
