"""Familiarity: what an unusual grip costs, by what it is taught for and where it stands.

What it measures: how far a grip is from what the fingers do by habit in this place.
Why it matters: trill grips and harmonics are for motion; taught uses are no trouble at all.
Unit: effort, in proportion to exposure (passing notes hardly care).
Example: the R2 form of F#4 next to E4 is in its taught use and costs almost nothing.
Source: tables/effort/familiarity.csv (judgement); trill grips are for motion (common practice).
"""

from gripway.catalog.effort_figures import EffortTables
from gripway.effort.candidate import ANY_NEIGHBOUR, Candidate
from gripway.effort.setting import Setting

MOTION_ONLY = frozenset({"motion"})


def in_use(candidate: Candidate, setting: Setting) -> bool:
    """Whether the note stands in a setting, or beside a pitch, the grip is taught for."""
    return bool(candidate.uses & setting.uses) or beside_partner(candidate, setting)


def beside_partner(candidate: Candidate, setting: Setting) -> bool:
    """Whether the note before or after is one the grip is meant to go with."""
    return bool(candidate.partners & setting.neighbours)


def trill_allowed(candidate: Candidate, setting: Setting) -> bool:
    """Whether a trill grip stands next to one of its partners, or was asked for; other kinds always may."""
    asked_for = candidate.partners is ANY_NEIGHBOUR
    return candidate.kind != "trill" or asked_for or beside_partner(candidate, setting)


def unfamiliarity(candidate: Candidate, setting: Setting, tables: EffortTables) -> float:
    """Effort of an unusual grip on this note, before the familiarity dial."""
    sizes, figures = tables.unfamiliarity, tables.figures
    size = sizes[_case(candidate, setting)]
    if candidate.uses == MOTION_ONLY and candidate.case != "standard" and "sustained" in setting.uses:
        size += sizes["motion_when_held"]
    if candidate.kind == "trill":
        alternating = setting.alternation if candidate.partners & setting.partners else 0.0
        spread = figures.trill_alternating - figures.trill_elsewhere
        scale = figures.trill_elsewhere + spread * alternating
        size *= max(scale, 1.0) if candidate.case == "found" else scale
    if "unconfirmed" in candidate.flags:
        size += sizes["unconfirmed"]
    if candidate.confidence == "low" and candidate.kind != "standard":
        size += sizes["low_confidence"]
    leaving = figures.leaving_standard if candidate.case != "standard" else 0.0
    return size * setting.exposure + leaving


def _case(candidate: Candidate, setting: Setting) -> str:
    """The row of familiarity.csv that applies; a leap from a low note to its own partial is in passing."""
    if candidate.fundamental in setting.neighbours:
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
