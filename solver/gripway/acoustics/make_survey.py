"""A survey of an instrument: all that the route asks of the model, worked out once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from gripway.acoustics.atlas import atlas, reachable_patterns
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.free_touches import FreeVariant, free_variants
from gripway.acoustics.ladder import Tube
from gripway.acoustics.lineage import lineage_sentence, lineage_text, lineages
from gripway.acoustics.pitch_lean import Sought, ensemble, verdicts
from gripway.acoustics.sounds import sounds
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.player_terms import player_term
from gripway.catalog.flute.regulation import regulation_cents
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.survey import HIGHEST_CLAIM, Key, Survey, Verdict


def survey(instrument: Instrument, grips: Iterable[Key], standards: Mapping[int, Grip]) -> Survey | None:
    """Ask the model about some grips; None where no bore of the instrument is known.

    `standards` gives the standard grip of each note number that the others are measured from.
    """
    tubes = bores(instrument)
    if not tubes:
        return None
    keys = [key for key in dict.fromkeys(grips) if key[0] in standards]
    pattern = instrument.mechanism.hole_pattern
    members = ensemble(tubes, [PlayerTerm(*player_term(bore.id)) for bore in tubes])
    sought = [Sought(number, pattern(grip), pattern(standards[number])) for number, grip in keys]
    found = verdicts(instrument, members, sought, regulation_cents())
    whole = atlas(instrument, members[0], reachable_patterns(instrument))
    free = {key: free_variants(instrument, whole, key[1], key[0]) for key in keys}
    return Survey(
        verdicts={key: _rounded(one) for key, one in zip(keys, found, strict=True) if one is not None},
        free={key: _grips(variants) for key, variants in free.items() if variants},
        lineages=dict(_lineages(instrument, members[0], keys)),
        sounds=sounds(whole, {number: pattern(grip) for number, grip in standards.items()}),
    )


DIGITS = 6
"""Digits after the point of a verdict's figures: more of them depend on the processor that counts."""


def _rounded(verdict: Verdict) -> Verdict:
    """The verdict with figures that are the same on every machine."""
    gap = verdict.gap_cents
    return Verdict(
        round(verdict.cents, DIGITS),
        round(verdict.vs_standard, DIGITS),
        round(verdict.spread_cents, DIGITS),
        None if gap is None else round(gap, DIGITS),
        round(verdict.loss_ratio, DIGITS),
    )


def _lineages(
    instrument: Instrument, tube: Tube, keys: Sequence[Key]
) -> Iterator[tuple[Key, tuple[str, str]]]:
    """The lineage of every grip that has one, as the short text and the sentence."""
    found = lineages(instrument, tube, [(grip, number) for number, grip in keys])
    for key, one in zip(keys, found, strict=True):
        if one is not None and key[0] <= HIGHEST_CLAIM:
            yield key, (lineage_text(one), lineage_sentence(one))


def _grips(variants: Iterable[FreeVariant]) -> tuple[Grip, ...]:
    return tuple(variant.grip for variant in variants)
