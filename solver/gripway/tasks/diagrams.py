"""Grip diagrams: one grip as a picture, or the same in words."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.display import SvgText
from gripway.errors import RequestError, check_kind
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import NotAPitchError, Pitch
from gripway.tasks.flute_player import Flute, FlutePlayer

if TYPE_CHECKING:
    from gripway.page.diagram.words import DiagramSigns


def diagram(
    grip: Grip | Pitch | str,
    instrument: Flute,
    *,
    form: str = "upright",
    size_mm: float = 40.0,
    before: Grip | Pitch | str | None = None,
    trill: Grip | Pitch | str | None = None,
    held: Iterable[str] = (),
    free: Iterable[str] = (),
    title: str = "",
) -> SvgText:
    """The diagram of a grip as SVG text, `upright` or `lying`, its long side `size_mm` mm (6 to 400).

    `grip` is a grip or its text (`T 1 3 | 2 Eb`), or a pitch (`F#6`) for its standard grip; so are
    `before`, the grip against which changes are shown, and `trill`, the other grip of a trill. `held` are
    pressed touches the note does not need, `free` lifted ones that may go down. `title` goes before the
    words for screen readers. A notebook shows the text as the picture. Raises ImpossibleHoldError for a
    grip no hand can hold on this flute, RequestError for what cannot be read or drawn.

    >>> import gripway
    >>> gripway.diagram("F#6", gripway.flute(), before="E6")[:4]
    '<svg'
    """
    from gripway.page.diagram.diagram import diagram as drawn

    instrument = _instrument(instrument)
    grip, title = _named(grip, instrument, title)
    grip, signs = _checked(grip, instrument, before, trill, held, free)
    return SvgText(drawn(instrument, grip, form=form, size_mm=size_mm, title=title, **signs))


def diagram_words(
    grip: Grip | Pitch | str,
    instrument: Flute,
    *,
    before: Grip | Pitch | str | None = None,
    trill: Grip | Pitch | str | None = None,
    held: Iterable[str] = (),
    free: Iterable[str] = (),
    title: str = "",
) -> str:
    """What the diagram shows, in words; arguments and errors as of `diagram`."""
    from gripway.page.diagram.diagram import alt_text

    instrument = _instrument(instrument)
    grip, title = _named(grip, instrument, title)
    grip, signs = _checked(grip, instrument, before, trill, held, free)
    return alt_text(instrument, grip, title=title, **signs)


def diagram_png(svg: str) -> bytes:
    """A diagram as a PNG picture of 300 dots an inch, black on white.

    RequestError where the extra `png` is not installed.
    """
    from gripway.page.diagram.png import png_of

    return png_of(svg)


def standard_grip(pitch: Pitch, instrument: Instrument) -> Grip:
    """The standard grip of a written pitch on this flute; RequestError where the tables have none."""
    rows = grip_rows(instrument).get(pitch.number, ())
    for row in rows:
        if row.kind == "standard" and allowed(row, instrument):
            return row.grip
    needed = " or ".join(sorted({part for row in rows if row.kind == "standard" for part in row.needs}))
    raise RequestError(
        f"{pitch.name} has no standard grip on the {instrument.title}"
        + (f" without {needed}" * bool(needed)),
        next_step="Give the grip itself: the touches pressed, left hand | right hand",
    )


def _checked(
    grip: Grip | Pitch | str,
    instrument: Instrument,
    before: Grip | Pitch | str | None,
    trill: Grip | Pitch | str | None,
    held: Iterable[str],
    free: Iterable[str],
) -> tuple[Grip, "DiagramSigns"]:
    """The grip, held by the hands of this flute's player, and the signs that go with it."""
    grip = _holdable(grip, instrument)
    other = None if trill is None else _holdable(trill, instrument)
    if other == grip:
        raise RequestError(
            f"a trill needs two grips; both are {grip.short}", next_step="Give the grip of the other note"
        )
    free = tuple(free)
    if lacking := sorted(set(free) - set(instrument.mechanism.touches)):
        raise RequestError(
            f"the {instrument.title} has no {', '.join(lacking)} to be free",
            next_step=f"Its touches are {' '.join(instrument.mechanism.touches)}",
        )
    movers = () if other is None else Grip(grip.mask ^ other.mask).touches
    since = None if before is None else _holdable(before, instrument)
    return grip, {"held": held, "free": free, "movers": movers, "before": since}


def _instrument(flute: Flute) -> Instrument:
    if isinstance(flute, FlutePlayer):
        return flute.instrument
    check_kind(flute, Instrument, "flute", 'Give what flute(...) gives: flute("piccolo")')
    return flute


def _named(grip: Grip | Pitch | str, instrument: Instrument, title: str) -> tuple[Grip | str, str]:
    """The standard grip of a pitch, with the pitch as its title where it has none; a grip as it is."""
    if isinstance(grip, str):
        try:
            pitch = Pitch.parse(grip)
        except NotAPitchError:
            return grip, title
        return standard_grip(pitch, instrument), title or pitch.name
    if isinstance(grip, Pitch):
        return standard_grip(grip, instrument), title or grip.name
    check_kind(grip, Grip, "grip", "Give a text, a Pitch or a Grip; of a route's note that of its candidate")
    return grip, title


def _holdable(grip: Grip | Pitch | str, instrument: Instrument) -> Grip:
    """A grip, from text, pitch or itself, that a hand can hold on this flute."""
    grip, _ = _named(grip, instrument, "")
    if isinstance(grip, str):
        try:
            grip = Grip.parse(grip)
        except ValueError as problem:
            raise RequestError(str(problem), next_step='Write a grip like "T 1 3 | 2 Eb"') from None
    instrument.mechanism.holds(grip)
    return grip
