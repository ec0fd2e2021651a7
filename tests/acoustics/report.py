"""Prints the figures of the acoustic model beside what is expected: python -m tests.acoustics.report."""

from collections import Counter
from collections.abc import Callable, Iterator

from tests.acoustics.agreement import (
    AGREES,
    CONTRADICTS,
    HARMONICS,
    NO_EFFECT,
    SHARED,
    SILENT,
    TEACHERS,
    Judged,
    counts,
    directed,
    pitch,
    place,
    response,
    size_correlation,
    told,
    verdict_on,
)
from tests.acoustics.agreement import (
    standard_grip as measured_from,
)
from tests.acoustics.figures import (
    EXPECTED_GAPS,
    OCTAVES,
    OTHER_GRIPS,
    PARTIALS,
    gap_found,
    listed_cents,
    notes,
    partial_cents,
    rms_cents,
    series_cents,
)
from tests.acoustics.flute import flute, number, partials, sound, standard_grip, tube_of

from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.leans import lean_words
from gripway.model.pitch import plain_name


def cents_lines() -> Iterator[str]:
    """Cents of the standard grips, the list's figure in brackets."""
    yield "cents from equal temperament, (expected); no claim above C#7"
    for low, high in (*OCTAVES, ("C#7", "C#7")):
        cells = [
            f"{name} {listed_cents()[name][1]:+.1f} ({listed_cents()[name][0]:+.0f})"
            for name in notes(low, high)
        ]
        yield "  " + "  ".join(cells)
    for name, grip in OTHER_GRIPS.items():
        standard = standard_grip(name)
        yield f"  {name} above is {grip}; the standard grip {standard} is {sound(standard, name).cents:+.1f}"


def rms_lines() -> Iterator[str]:
    """Root mean square of each octave, with the two player terms it rests on."""
    player = tube_of(flute()).player
    yield (
        f"player: {player.inertance_per_m} /m and {player.growth_per_m} /m an octave, fitted on C4..C#6 only"
    )
    for (low, high), expected in zip(OCTAVES, ("6.4", "7.1", "9-11"), strict=True):
        yield f"RMS {low}..{high}: {rms_cents(low, high):.1f} cents ({expected})"


def gap_lines() -> Iterator[str]:
    """Gaps to the next lower resonance."""
    yield "gap to the next lower resonance in cents (expected); against the standard grip (expected)"
    for gap in EXPECTED_GAPS:
        found, difference = gap_found(gap)
        versus = "" if gap.vs_standard is None else f"  {difference:+.1f} ({gap.vs_standard:+.1f})"
        held = " ".join((gap.note, gap.grip, *gap.parts))
        yield f"  {held}: {found.gap_cents:.0f} ({gap.gap_cents}){versus}"
    others = [(name, sound(standard_grip(name), name).gap_cents) for name in notes("D6", "C7")]
    yield "  all of octave 3: " + "  ".join(f"{name} {gap:.0f}" for name, gap in others)


def partial_lines() -> Iterator[str]:
    """High notes as partials, and two harmonic series."""
    yield "partials of low grips, cents from the high note"
    yield "  " + "  ".join(
        f"{high}={k}x{low} {partial_cents(high, k, low):+.0f}" for high, k, low in PARTIALS
    )
    for low in ("C4", "D4"):
        cells = [
            f"{k} {plain_name(round(n))} {off:+.0f}"
            for k, (n, off) in enumerate(zip(partials(low), series_cents(low), strict=True), start=1)
        ]
        yield f"  series of {low}, cents from pure: " + "  ".join(cells)


def bore_lines() -> Iterator[str]:
    """The bores there are."""
    for index, bore in enumerate(bores(flute())):
        player = tube_of(flute(), index).player
        yield f"bore {bore.id}: player {player.inertance_per_m} /m, {player.growth_per_m} /m an octave"


SHARP_IN_PLAYING = ("C6", "C#6", "E6", "F#6", "B6")
"""Standard grips that players find clearly sharp (common practice, no source)."""

LOWER_IN_PLAYING = (("C5", "L1 | R2 R3 Eb"), ("C6", "L1 | R2 R3 Eb"))
"""Grips that teachers call lower and that the first trial of the method found without effect."""

TITLES = {
    TEACHERS: "words of teachers and of common practice (* the model is among the sources too)",
    SHARED: "words of our own estimate, responses the model may have had a hand in: no evidence for it",
    HARMONICS: "low grips overblown: a whole class that agrees or contradicts at once",
}


def compared_lines(what: str, found: tuple[Judged, ...]) -> Iterator[str]:
    """One line a remark, group by group, with the counts of each octave."""
    for group, title in TITLES.items():
        yield f"{what}, {title}"
        yield from (one.line for one in found if one.group == group)
        yield from (f"  octave {octave}: {spelled(counts(found, group, octave))}" for octave in (1, 2, 3))
        yield f"  all: {spelled(counts(found, group))}"
        alone = [one for one in found if not one.model_named]
        yield f"  of these without the model among their sources: {spelled(counts(alone, group))}"


def pitch_lines() -> Iterator[str]:
    """Words for pitch beside the model's cents against the standard grip."""
    return compared_lines("pitch against the standard grip", pitch())


def response_lines() -> Iterator[str]:
    """Words for response beside the model's loss and gap."""
    return compared_lines("response", response())


def spelled(found: Counter[str]) -> str:
    """Counts in words."""
    return ", ".join(f"{found[how]} {how}" for how in (AGREES, NO_EFFECT, CONTRADICTS, SILENT))


def yardstick_lines() -> Iterator[str]:
    """What the agreements are worth: a naive answer beside them, and whether sizes go together."""
    pairs = directed()
    lower = sum(said < 0.0 for said, _ in pairs)
    yield f"who always answers lower agrees with {lower} of {len(pairs)} and contradicts {len(pairs) - lower}"
    yield f"rank correlation of said and modelled sizes over these: {size_correlation():.2f}"


def conflict_lines() -> Iterator[str]:
    """Where playing and the model part company, and what the player is told."""
    sharp = lean_words()["sharp"]
    least = sharp.cents - sharp.spread_cents
    yield f"not reproduced; the player is told the teachers' word ('sharp' begins at {least:+.0f} cents)"
    for name in SHARP_IN_PLAYING:
        note = number(name)
        grip = measured_from(note)
        verdict = verdict_on(note, grip)
        assert verdict is not None
        how = "CONFLICT" if verdict.cents < least else "reproduced"
        yield f"  {place(note, grip)} sharp; model {verdict.cents:+.1f}: {how}; told {told(note, grip)}"
    for name, text in LOWER_IN_PLAYING:
        one = next(o for o in pitch() if o.grip.text == text and plain_name(o.number) == name)
        how = "reproduced" if one.how == AGREES else "CONFLICT"
        saying = f"{one.word}; model {one.shown}: {how}; told {told(one.number, one.grip)}"
        yield f"  {place(one.number, one.grip)} {saying}"


def named_lines() -> Iterator[str]:
    """Every contradiction by name, and every word of a teacher that the model has no effect for."""
    yield "contradictions, and teachers' words without effect"
    for one in (*pitch(), *response()):
        if one.how == CONTRADICTS or (one.how == NO_EFFECT and one.group == TEACHERS):
            yield f"{one.line} ({one.group})"


def main() -> None:
    """Print everything."""
    show(cents_lines, rms_lines, gap_lines, partial_lines, bore_lines)
    show_agreement()


def show_agreement() -> None:
    """Print how far the model agrees with teachers."""
    show(pitch_lines, yardstick_lines, response_lines, conflict_lines, named_lines)


def show(*parts: Callable[[], Iterator[str]]) -> None:
    """Print parts of lines, a gap between them."""
    for lines in parts:
        print("\n".join(lines()), end="\n\n")


if __name__ == "__main__":
    main()
