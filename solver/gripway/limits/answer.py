"""The notes of a route within limits: the limited search and its reasons, put into RouteNotes."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

from gripway.asked.idle_rules import rule_remarks
from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.charges.charges_paid import Charges
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI, Ledger
from gripway.errors import RequestError
from gripway.limits.build import Terms
from gripway.limits.limit_reasons import Scene
from gripway.limits.limited_route import CENTS, Chosen, limited_route
from gripway.model.instrument import Instrument
from gripway.model.passage import Passage
from gripway.route.ground import Ground
from gripway.route.played_ornaments import with_tremolos
from gripway.route.result import LimitReport, Route, RouteNote
from gripway.route.solve import Progress, Solver
from gripway.trellis.constrained_network import ConstrainedNetwork


def solve_within(
    solver: Solver,
    passage: Passage,
    wishes: Wishes = Wishes(),  # noqa: B008 - frozen
    progress: Progress | None = None,
) -> Route:
    """The route of a passage, within the limits of the wishes where there are any.

    Raises RequestError for pins that cannot hold and for spans of limits that hold no note.
    """
    if not wishes.limits:
        return solver.solve(passage, wishes, progress)
    ground = solver.ground(passage, wishes)
    if progress:
        progress(len(passage.notes) // 2, len(passage.notes))
    notes, report, charges = limited_notes(solver, passage, ground, wishes)
    told = replace(passage, remarks=(*passage.remarks, *report.remarks))
    if progress:
        progress(len(passage.notes), len(passage.notes))
    return solver.assembled(told, ground, notes, charges, report)


def limited_notes(
    solver: Solver, passage: Passage, ground: Ground, wishes: Wishes
) -> tuple[tuple[RouteNote, ...], LimitReport, Charges]:
    """The least route that keeps the limits of the wishes: its notes, the report, and what it charges.

    `ground` is solved without them. Notes that no route within the limits reaches have no grip.
    """
    remarks = rule_remarks(wishes.limits.rules, passage.notes, solver.knowledge.instrument)
    _check_cents(wishes.limits, ground, solver.knowledge.instrument)
    grounds = {wishes.pins: ground}

    terms_of = terms_for(solver, passage, ground)

    def build(limits: Limits, pins: tuple[Pin, ...]) -> ConstrainedNetwork:
        if pins not in grounds:
            grounds[pins] = solver.ground(passage, replace(wishes, pins=pins))
        return terms_of(limits).network([piece.trellis for piece in grounds[pins].pieces])

    scene = Scene(passage.notes, ground.settings, ground.links, solver.model)
    terms = terms_of(wishes.limits)
    free = ground.charged
    free_bound = free.bound_milli if free and not free.closed else 0
    found = limited_route(scene, ground.pieces, free_bound, wishes, terms, build)
    why_none = "the limits cannot be kept together" if found.report.conflict else ""
    notes = [
        _note(solver, passage, ground, place, found.notes[place])
        if place in found.notes
        else solver.gap(place, note, ground.columns[place].problem or why_none)
        for place, note in enumerate(passage.notes)
    ]
    chosen = {place: note.candidate for place, note in found.notes.items()}
    charges = terms.charging.paid(chosen, found.report.bound_milli)
    return with_tremolos(notes, solver.trill_points), replace(found.report, remarks=remarks), charges


def terms_for(solver: Solver, passage: Passage, ground: Ground) -> Callable[[Limits], Terms]:
    """What any limits say of a passage's notes."""
    figures = solver.tables.figures
    left_out = frozenset(grip.key for grip in ground.charged.left_out) if ground.charged else frozenset()
    charging = solver.charging(passage.notes, left_out)

    @cache
    def others(candidate: Candidate, place: int) -> tuple[Candidate | None, ...]:
        adorned = solver.model.ornament(candidate, ground.settings[place])
        return adorned[1] if adorned else ()

    def terms(limits: Limits) -> Terms:
        preferred_milli = round(figures.rule_preferred_effort * MILLI)
        return Terms(passage.notes, limits, preferred_milli, figures.figure_tempo_factor, others, charging)

    return terms


def _check_cents(limits: Limits, ground: Ground, instrument: Instrument) -> None:
    """RequestError for a limit of cents where no grip's cents are known."""
    columns = {id(column): column for piece in ground.pieces for column in piece.trellis.columns}
    words = limits.words()
    asked = [words[name] for name in CENTS if name in words]
    if not asked or not columns:
        return
    if all(c.tendency.cents is None for column in columns.values() for c in column):
        raise RequestError(
            f"no cents are known of these grips on the {instrument.title}",
            place=asked[0],
            next_step="Give your own tuner list in a player file",
        )


def _note(solver: Solver, passage: Passage, ground: Ground, place: int, chosen: Chosen) -> RouteNote:
    """A note with the grip the limits leave it; what rules prefer is part of its holding."""
    plain = solver.note(place, passage, chosen.candidate, ground.settings[place], chosen.why, chosen.others)
    return replace(
        plain,
        holding=Ledger((*plain.holding.parts, *chosen.rules.parts)),
        flags=(*chosen.flags, *plain.flags),
    )
