"""What case of familiarity a table row is, which B-flat form, and whether it drops the Eb key."""

from gripway.catalog.flute.grips import GripRow
from gripway.catalog.tables.effort_figures import Figures
from gripway.model.grip import FOOT_TOUCHES, Grip

B_FLATS = (70, 82)
"""Bb4 and Bb5, the notes with three plain grips."""


def cases(row: GripRow, figures: Figures, *, known: bool) -> tuple[str, str]:
    """Rows of familiarity.csv outside and inside the use a grip is taught for."""
    if known or _is_plain_b_flat(row):
        return "standard", "standard"
    if row.kind == "standard":  # another standard form than the usual one of this flute
        return "alternate", "standard"
    if row.how == "modelled":
        return "found", "found"
    if row.kind == "harmonic":
        case = _harmonic_case(row, figures)
        return case, "harmonic_in_passing" if row.in_passing else case
    if row.kind == "trill":
        return "trill", "trill"
    return row.kind, f"{row.kind}_in_use"


def _harmonic_case(row: GripRow, figures: Figures) -> str:
    """How far a harmonic lies from the grips taught for passing notes."""
    partial = row.partial or 0
    if partial >= figures.harmonic_remote_partial:
        return "harmonic_remote"
    if row.pitch >= figures.harmonic_real_from_note_number:
        return "harmonic_high"
    far = row.pitch < figures.harmonic_lowest_note_number or partial >= figures.harmonic_far_partial
    return "harmonic_far" if far else "harmonic"


def _is_plain_b_flat(row: GripRow) -> bool:
    """Whether a row is one of the three B-flats that every player knows."""
    return (
        row.pitch in B_FLATS
        and row.kind == "alternate"
        and sum(row.grip.has(touch) for touch in ("Tb", "Sb", "R1")) == 1
    )


def form_of(pitch: int, kind: str, grip: Grip) -> str:
    """Which of the three B-flats a grip is: Tb, Sb or R1; empty for every other note."""
    if pitch not in B_FLATS or kind not in ("standard", "alternate"):
        return ""
    return next((form for form in ("Tb", "Sb", "R1") if grip.has(form)), "")


def drops_eb(row: GripRow, standard: GripRow | None) -> bool:
    """Whether an alternate lifts R4 where the standard grip has Eb down."""
    if standard is None or row.kind != "alternate":
        return False
    return standard.grip.has("Eb") and not any(row.grip.has(touch) for touch in FOOT_TOUCHES)
