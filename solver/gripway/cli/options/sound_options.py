"""Options of the commands that listen to recordings."""

import click

from gripway.errors import RequestError

LOWEST_A4_HZ, HIGHEST_A4_HZ = 390.0, 480.0

a4_option = click.option(
    "--reference",
    "a4",
    type=float,
    default=440.0,
    show_default=True,
    metavar="HZ",
    help="Pitch you tune A to; a few hertz do not matter here.",
)
"""--reference, the pitch A4 is tuned to."""


def a4_of(asked: float) -> float:
    """The reference pitch asked for. Raises RequestError for none that a flute is tuned to."""
    if not LOWEST_A4_HZ <= asked <= HIGHEST_A4_HZ:
        raise RequestError(
            f"{asked:g} Hz is no A",
            place="--reference",
            next_step=f"Choose from {LOWEST_A4_HZ:g} to {HIGHEST_A4_HZ:g}",
        )
    return asked
