"""How the ornament of a note is played: its notes with their grips, the fingers that move, the speed."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.setting import Setting, auxiliaries_of, auxiliary_ms, is_fingered_tremolo
from gripway.model.passage import Note, Ornament
from gripway.route.result import OrnamentNote, PlayedOrnament, RouteNote
from gripway.trills.trill_points import TrillPoints


def played_ornament(
    note: Note, candidate: Candidate, setting: Setting, model: EffortModel, points: TrillPoints
) -> PlayedOrnament | None:
    """How the ornament of a note held with this grip is played.

    None for a note without one, and for a tremolo between two written notes, which have their
    own grips.
    """
    written = note.ornament
    adorned = model.ornament(candidate, setting)
    if written is None or adorned is None or not adorned[1]:
        return None
    if setting.trill is not None:
        other, *ending = adorned[1]
        trill = _trill(written, note, candidate, other, points)
        return replace(trill, ending=_back_and_forth(note, candidate, ending, model)) if trill else None
    return _turn(written, note, candidate, adorned[1], model)


def _trill(
    written: Ornament, note: Note, candidate: Candidate, other: Candidate | None, points: TrillPoints
) -> PlayedOrnament | None:
    pitch = written.upper or written.lower
    if pitch is None:
        return None
    main, second = OrnamentNote(note.pitch, candidate), OrnamentNote(pitch, other)
    return _alternation(written.kind, main, second, points)


def _alternation(kind: str, main: OrnamentNote, second: OrnamentNote, points: TrillPoints) -> PlayedOrnament:
    """Two notes that go on alternating, left by the first one's grip and entered by it or by its `entry`."""
    entry = main.candidate.entry or main.candidate if main.candidate else None
    if main.candidate is None or second.candidate is None:
        return PlayedOrnament(kind, (main, second), main.candidate, (), None, entry=entry)
    change = points.model.change(main.candidate, second.candidate)
    speed = 1000.0 / change.alternating_ms if change.movers else None
    from gripway.trills.pair import interval_text  # loaded where a trill is written

    interval = interval_text(points.pair(main.candidate, second.candidate))
    return PlayedOrnament(
        kind, (main, second), main.candidate, (change.movers,), speed, interval, entry=entry
    )


def with_tremolos(notes: Sequence[RouteNote], points: TrillPoints) -> tuple[RouteNote, ...]:
    """The notes, those of a tremolo between two written notes with the pair they make together."""
    found = list(notes)
    played = [note.note for note in notes]
    for second in range(1, len(notes)):
        if not is_fingered_tremolo(played, second):
            continue
        before, after = notes[second - 1], notes[second]
        first, last = (OrnamentNote(n.note.pitch, n.candidate) for n in (before, after))
        pair = replace(_alternation("tremolo", first, last, points), exit=after.candidate)
        found[second - 1] = replace(found[second - 1], ornament=pair)
        found[second] = replace(found[second], ornament=pair)
    return tuple(found)


def _turn(
    written: Ornament,
    note: Note,
    candidate: Candidate,
    others: Sequence[Candidate | None],
    model: EffortModel,
) -> PlayedOrnament:
    notes = _back_and_forth(note, candidate, others, model)
    movers = tuple(
        model.change(before.candidate, after.candidate).movers
        for before, after in pairwise(notes)
        if before.candidate is not None and after.candidate is not None
    )
    speed = 1000.0 / auxiliary_ms(note, model.figures)
    return PlayedOrnament(written.kind, notes, candidate, movers, speed, entry=candidate)


def _back_and_forth(
    note: Note, candidate: Candidate, others: Sequence[Candidate | None], model: EffortModel
) -> tuple[OrnamentNote, ...]:
    """The written note, and after each of its auxiliary notes the written note again; empty without any."""
    ms = auxiliary_ms(note, model.figures)
    notes = [OrnamentNote(note.pitch, candidate, ms)] if others else []
    for pitch, other in zip(auxiliaries_of(note), others, strict=True):
        notes += [OrnamentNote(pitch, other, ms), OrnamentNote(note.pitch, candidate, ms)]
    return tuple(notes)


def ornament_flags(played: PlayedOrnament | None, lip_cents: float) -> tuple[str, ...]:
    """The ornament in words: the other grips, what moves, how fast, what is out of tune."""
    if played is None:
        return ()
    if played.kind in ("trill", "tremolo"):
        return _trill_flags(played, lip_cents)
    return (f"{played.kind.replace('-', ' ')}: {_spelt(played.notes)}",)


def _spelt(notes: Sequence[OrnamentNote]) -> str:
    """`C#5-B4-C#5 with B4 T 1 | Eb`: the notes, and the grips of the auxiliary ones."""
    grips = ", ".join(
        f"{note.pitch.name} {note.candidate.grip.short if note.candidate else 'without a grip'}"
        for note in notes[1::2]
    )
    return f"{'-'.join(note.pitch.name for note in notes)} with {grips}"


def _trill_flags(played: PlayedOrnament, lip_cents: float) -> tuple[str, ...]:
    main, other = played.notes
    name = other.pitch.name
    if other.candidate is None:
        return (f"no grip for the other note of the {played.kind}, {name}",)
    fingers = [finger for finger, _ in played.movers[0]]
    move = f"{' and '.join(fingers)} move{'s' * (len(fingers) == 1)}" if fingers else "no finger moves"
    speed = f", up to {played.notes_per_s:.1f} a second" if played.notes_per_s else ""
    start = f", from {name}" if played.entry is not main.candidate else ""
    flags = [f"{played.kind} with {name} = {other.candidate.grip.short}: {move}{speed}{start}"]
    flags += [f"ends with a turn: {_spelt(played.ending)}"] if played.ending else []
    vs_standard = other.candidate.tendency.vs_standard or 0.0
    if abs(vs_standard) > lip_cents:
        side = "upper" if other.pitch.number > main.pitch.number else "lower"
        way = "flat" if vs_standard < 0 else "sharp"
        flags.append(f"{side} note {way} by about {abs(vs_standard):.0f} cents")
    return tuple(flags)
