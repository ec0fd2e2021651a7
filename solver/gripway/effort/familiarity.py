"""Familiarity: what an unusual grip costs, by what it is taught for and where it stands.

What it measures: how far a grip is from what the fingers do by habit in this place.
Why it matters: trill grips and harmonics are for motion; taught uses are no trouble at all.
Unit: effort, hardly less on quick notes: habit matters most where it is quick.
Example: the R2 form of F#4 next to E4 is in its taught use and costs almost nothing.
Source: tables/effort/familiarity.csv (judgement); trill grips are for motion (common practice).
"""

from gripway.catalog.effort_figures import EffortTables
from gripway.effort.candidate import ANY_NEIGHBOUR, Candidate
from gripway.effort.setting import Setting

LENGTHS = frozenset({"motion", "quick", "leap", "alternation", "colour"})
"""Uses of a passing note; a grip that has no other is for motion only."""

DYNAMICS = frozenset({"soft", "loud"})


def in_use(candidate: Candidate, setting: Setting) -> bool:
    """Whether a note stands where its grip is taught for.

    A held use asks for a sustained note, and for its dynamic where it names one; a passing use for
    a note as short as it says, beside a partner where the grip has partners.
    """
    uses = candidate.uses
    if "any" in uses and not candidate.partners:
        return True
    dynamic = uses & DYNAMICS
    if "sustained" in uses & setting.uses and (not dynamic or dynamic & setting.uses):
        return True
    beside = not candidate.partners or beside_partner(candidate, setting)
    return beside and ("any" in uses or _passes(uses, setting))


def _passes(uses: frozenset[str], setting: Setting) -> bool:
    """Whether a passing use holds: the note is as short as it says, or inside a quick alternation."""
    alternating = setting.alternation > 0.0 and bool(uses & {"alternation", "quick"})
    return alternating or bool(uses & setting.uses & {"motion", "quick", "leap"})


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
    turn = "quick" in setting.uses and setting.neighbours <= candidate.partners
    return "motion" in setting.uses and (turn or bool(candidate.partners & setting.partners))


def unfamiliarity(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of an unusual grip on this note, before the familiarity dial."""
    sizes, figures = tables.unfamiliarity, tables.figures
    size = sizes[_case(candidate, setting)]
    if candidate.kind == "trill" and candidate.case != "found":
        alternating = setting.alternation if candidate.partners & setting.partners else 0.0
        size *= 1.0 - (1.0 - figures.trill_alternating) * alternating
    if "unconfirmed" in candidate.flags:
        size += sizes["unconfirmed"]
    if candidate.confidence == "low" and candidate.kind != "standard":
        size += sizes["low_confidence"]
    leaving = figures.leaving_standard if candidate.case != "standard" else 0.0
    return size * max(figures.unfamiliar_least, min(1.0, setting.exposure)) + leaving


def _case(candidate: Candidate, setting: Setting) -> str:
    """The row of familiarity.csv that applies; a leap from a low note to its own partial is in passing."""
    if candidate.fundamental in setting.neighbours and "motion" in setting.uses:
        return "harmonic_in_passing"
    return candidate.case_in_use if in_use(candidate, setting) else candidate.case


def held_effort(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of fingers held though not needed, of a dropped Eb, and of second-choice fingers."""
    figures = tables.figures
    effort = figures.held_needless * candidate.held
    effort += figures.second_choice * candidate.position.second_choices
    if candidate.thumb_held and setting.near != "flat":
        effort += figures.held_thumb
    if candidate.eb_dropped:
        effort += figures.eb_dropped * setting.exposure
    return effort


def b_flat_effort(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of choosing this one of the three B-flats here; 0 for any other note."""
    return tables.b_flat[candidate.form, setting.near] if candidate.form else 0.0
