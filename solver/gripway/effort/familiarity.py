"""Familiarity: what a grip costs by habit, by what it is taught for and where it stands.

What it measures: how far a grip is from what the fingers do by habit in this place. Which grips are
unusual at all says `Candidate.usual` (effort/candidate.py).
Why it matters: trill grips and harmonics are for motion; taught uses are no trouble at all.
Unit: effort, hardly less on quick notes: habit matters most where it is quick.
Example: the R2 form of F#4 next to E4 is in its taught use and costs almost nothing.
Source: tables/effort/familiarity.csv (judgement); trill grips are for motion (common practice).
"""

from gripway.catalog.tables.effort_figures import EffortTables, Figures
from gripway.effort.candidate import ANY_NEIGHBOUR, Candidate
from gripway.effort.setting import Setting, is_leap

LENGTHS = frozenset({"motion", "quick", "leap", "alternation", "colour"})
"""Uses of a passing note; a grip that has no other is for motion only."""

DYNAMICS = frozenset({"soft", "loud"})


def taught_here(candidate: Candidate, setting: Setting, figures: Figures) -> bool:
    """Whether a note stands where its grip is taught for.

    A held use asks for a sustained note, and for its dynamic where it names one. Of passing uses, a leap
    or a quick alternation speaks for itself; motion asks for a note as short as it says, beside a
    partner where the grip has partners.
    """
    uses = candidate.uses
    if "any" in uses and not candidate.partners:
        return True
    dynamic = uses & DYNAMICS
    if "sustained" in uses & setting.uses and (not dynamic or dynamic & setting.uses):
        return True
    if "pp" in uses & setting.uses:
        return True
    alternating = setting.alternation > 0.0
    if (alternating and "alternation" in uses) or "leap" in uses & setting.uses:
        return True
    if candidate.partners and not beside_partner(candidate, setting):
        return False
    quick = "quick" in uses and (alternating or "quick" in setting.uses)
    return (
        "any" in uses
        or quick
        or ("motion" in uses & setting.uses and _in_figure(candidate, setting, figures))
    )


def _in_figure(candidate: Candidate, setting: Setting, figures: Figures) -> bool:
    """Whether a grip with partners stands where its pitch comes again, and not inside a scale."""
    others = setting.neighbours - candidate.partners if candidate.partners else ()
    return "return" in setting.uses or all(is_leap(other, candidate.pitch, figures) for other in others)


def beside_partner(candidate: Candidate, setting: Setting) -> bool:
    """Whether the note before or after is one the grip is meant to go with."""
    return bool(candidate.partners & setting.neighbours)


def may_stand(candidate: Candidate, setting: Setting) -> bool:
    """Whether a grip may stand on this note at all, however much it would ease the fingers.

    Grips for motion and overblown low grips never stand on a held note, trill grips only in an
    alternation with a partner, or as the quick note between two of it; what a player asked for may.
    """
    if candidate.partners is ANY_NEIGHBOUR or candidate.kind == "standard":
        return True
    if setting.trill is not None:
        return candidate.kind != "harmonic" and (
            candidate.kind != "trill" or beside_partner(candidate, setting)
        )
    if "held" in setting.uses and (candidate.uses <= LENGTHS or candidate.kind in ("harmonic", "trill")):
        return False
    if candidate.kind != "trill":
        return True
    turn = {"quick", "turn"} <= setting.uses and setting.neighbours <= candidate.partners
    return "motion" in setting.uses and (turn or bool(candidate.partners & setting.partners))


def unfamiliarity(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of a grip on this note for want of habit, before the familiarity dial.

    Of a trill grip that is the other note of a written trill (`setting.paired`) the points of the pair say
    how it is known, as in the list of trills: here it is a trill grip like any other.
    """
    sizes, figures = tables.unfamiliarity, tables.figures
    taught = taught_here(candidate, setting, figures)
    size = sizes[candidate.case_in_use if taught else candidate.case]
    known_by_pair = setting.paired and candidate.kind == "trill" and beside_partner(candidate, setting)
    if known_by_pair and candidate.case == "found":
        size = sizes["trill"]
    if candidate.fundamental in setting.neighbours and {"quick", "leap"} & setting.uses:
        size = sizes["harmonic_in_passing"]
    elif taught and candidate.kind == "alternate" and not candidate.usual and "sustained" in setting.uses:
        size = sizes["alternate_when_held"]
    elif taught and candidate.kind == "harmonic" and "leap" not in setting.uses:
        size = sizes["harmonic_alternating"]
    if candidate.kind == "trill" and (known_by_pair or candidate.case != "found"):
        alternating = setting.alternation if candidate.partners & setting.partners else 0.0
        size *= 1.0 - (1.0 - figures.trill_alternating_factor) * alternating
    if "unconfirmed" in candidate.flags:
        size += sizes["unconfirmed"]
    if candidate.confidence == "low" and candidate.kind != "standard" and not known_by_pair:
        size += sizes["low_confidence"]
    leaving = 0.0 if candidate.case == "standard" or taught else figures.leaving_standard_effort
    return size * max(figures.unfamiliar_least_factor, min(1.0, setting.exposure)) + leaving


def held_effort(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of fingers held though not needed, of a dropped Eb, and of second-choice fingers."""
    figures = tables.figures
    effort = figures.held_needless_effort * candidate.held + figures.leaving_standard_effort * (
        candidate.held > 0
    )
    effort += figures.second_choice_effort * candidate.position.second_choices
    if candidate.thumb_held and setting.near != "flat":
        effort += figures.held_thumb_effort
    if candidate.eb_dropped and not taught_here(candidate, setting, figures):
        effort += figures.eb_dropped_effort * max(figures.unfamiliar_least_factor, setting.exposure)
    return effort


def b_flat_effort(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of choosing this one of the three B-flats here; 0 for any other note.

    The side lever costs nothing where the music goes to and fro by steps: beside a leap nothing calls for it.
    """
    if not candidate.form:
        return 0.0
    effort = tables.b_flat[candidate.form, setting.near]
    if candidate.form != "Sb" or any(
        is_leap(near, candidate.pitch, tables.figures) for near in setting.neighbours
    ):
        return effort
    return effort * (0.0 if "turn" in setting.uses else 1.0 - setting.alternation)
