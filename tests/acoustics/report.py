"""Prints the figures of the acoustic model beside what is expected: python -m tests.acoustics.report."""

from collections.abc import Iterator

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
from tests.acoustics.flute import flute, partials, sound, standard_grip, tube_of

from gripway.catalog.bores import bores
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
    for place, bore in enumerate(bores(flute())):
        player = tube_of(flute(), place).player
        yield f"bore {bore.id}: player {player.inertance_per_m} /m, {player.growth_per_m} /m an octave"


def main() -> None:
    """Print everything."""
    for lines in (cents_lines, rms_lines, gap_lines, partial_lines, bore_lines):
        print("\n".join(lines()), end="\n\n")


if __name__ == "__main__":
    main()
