"""`gripway diagram GRIP`: a grip as a picture, or in words."""

import sys
from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import flute_options, parts_of, player_of
from gripway.cli.options.together import form_option
from gripway.cli.output import check_out, out_option, write_out
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.mark_text import grip_of
from gripway.model.pitch import NotAPitchError, Pitch
from gripway.tasks.diagrams import diagram as diagram_task
from gripway.tasks.diagrams import diagram_png, diagram_words, standard_grip
from gripway.tasks.flutes import choose_instrument

EPILOG = """
\b
Examples:
  gripway diagram F#6 --out f-sharp.svg
  gripway diagram "T 1 3 | 2 Eb" --before F6 --form lying --size 80 --out change.svg
  gripway diagram "T 2 3 | Eb" --trill "T 1 2 3 | Eb" --format png --out trill.png
  gripway diagram D6 --format text

\b
Filled: pressed. Open: lifted. Cut in two: does not matter to the note.
Triangle: has gone down or up. Wave: moves in the trill.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("grip")
@flute_options("concert-flute")
@click.option("--before", metavar="GRIP", help="The grip before: what has gone down or up is marked.")
@click.option("--trill", metavar="GRIP", help="The other grip of a trill: what moves is marked.")
@click.option("--held", default="", metavar="TOUCHES", help="Pressed, but the note does not need it: R2 R3.")
@click.option("--free", default="", metavar="TOUCHES", help="Lifted, but may as well go down: L4.")
@click.option(
    "--form",
    type=click.Choice(("upright", "lying")),
    default="upright",
    show_default=True,
    help="Head at the top, or at the left.",
)
@click.option(
    "--size",
    "size_mm",
    type=float,
    default=40.0,
    show_default=True,
    metavar="MM",
    help="Long side in millimetres, 6 to 400; with names from 40 on.",
)
@form_option(
    ("svg", "png", "text"), "svg, png (needs the extra png), or the picture in words.", name="file_form"
)
@out_option
def diagram(
    grip: str,
    instrument: str | None,
    parts: str,
    player_file: Path | None,
    before: str | None,
    trill: str | None,
    held: str,
    free: str,
    form: str,
    size_mm: float,
    file_form: str,
    out: Path | None,
) -> int:
    """Draw a GRIP ("T 1 3 | 2 Eb"), or the standard grip of a pitch (F#6)."""
    check_out(out, player_file)
    named = out.suffix.lower().removeprefix(".") if out is not None else ""
    if named in ("svg", "png") and named != file_form:
        raise RequestError(
            f"the name says {named}, the picture would be {file_form}",
            place=str(out),
            next_step=f"Add --format {named}, or choose another name",
        )
    if file_form == "png" and out is None and sys.stdout.isatty():
        raise RequestError("a PNG cannot be shown as text", next_step="Name a file with --out")
    flute, _ = choose_instrument(instrument, parts_of(parts), player_of(player_file))
    asked, title = _grip_or_pitch(grip, "GRIP", flute)
    since = _grip_or_pitch(before, "--before", flute)[0] if before is not None else None
    other = _grip_or_pitch(trill, "--trill", flute)[0] if trill is not None else None
    touches = {"held": _touches(held, "--held"), "free": _touches(free, "--free")}
    if file_form == "text":
        answer = diagram_words(asked, flute, before=since, trill=other, title=title, **touches) + "\n"
        write_out(answer, out, player_file)
        return 0
    svg = diagram_task(
        asked, flute, form=form, size_mm=size_mm, before=since, trill=other, title=title, **touches
    )
    write_out(diagram_png(svg) if file_form == "png" else f"{svg}\n", out, player_file)
    return 0


def _grip_or_pitch(text: str, place: str, flute: Instrument) -> tuple[Grip, str]:
    """The grip a text writes, or the standard grip of the pitch it names; and the pitch's name."""
    try:
        pitch = Pitch.parse(text.strip())
    except NotAPitchError as problem:
        if problem.english and not _is_grip(text):
            raise RequestError(problem.what, place=place, next_step=problem.next_step) from None
        return grip_of(text, place), ""
    return standard_grip(pitch, flute), pitch.name


def _is_grip(text: str) -> bool:
    try:
        Grip.parse(text)
    except ValueError:
        return False
    return True


def _touches(text: str, place: str) -> tuple[str, ...]:
    """Touches written as in a grip."""
    return grip_of(text, place).touches
