"""Options on marks, and the house style they make together with a file."""

from collections.abc import Iterator
from dataclasses import replace

import click
from click.core import ParameterSource

from gripway.cli.options.together import file_option, together
from gripway.cli.output import tell
from gripway.model.house_style import LYRIC, NEEDED, STYLES, WHICH, WORDS, HouseStyle
from gripway.model.passage import Remark

decisions_option = file_option(
    "--decisions",
    "decisions_file",
    "An editor's decisions (TOML): grips to keep, what is marked and what is not, place by place.",
)
"""--decisions, for every command that plays or reads a part an editor has decided on."""

SHARP, PRINTED_SHARP = "#", "\u266f"

FOR_MARKS = ("which", "style", "bracket", "house_file", "renew")
"""Parameters that mean something only where marks are made."""

house_option = file_option(
    "--house-style",
    "house_file",
    "The house style of an edition (TOML): which marks, how they look, their words.",
)
"""--house-style, for every command that writes or reads an edition's marks."""

marks_options = together(
    house_option,
    click.option(
        "--mark",
        "which",
        type=click.Choice(WHICH),
        default=NEEDED,
        show_default=True,
        help="Marks: where the grip is not the plain one, where a pitch's grip changes, at the first "
        "of each figure (with the thumb and held fingers), everywhere.",
    ),
    click.option(
        "--mark-as",
        "style",
        type=click.Choice(STYLES),
        default=STYLES[0],
        show_default=True,
        help="How a mark stands in the score.",
    ),
    click.option("--bracket", is_flag=True, help="Put marks in square brackets, as an editor's."),
    click.option("--renew", is_flag=True, help="Take our own marks out first, and mark anew."),
)
"""--house-style, --mark, --mark-as, --bracket and --renew."""


def house_of(context: click.Context) -> HouseStyle:
    """The house style of the file, where there is one; options given on the command win over it."""
    asked = context.params
    house = HouseStyle()
    if asked["house_file"]:
        from gripway.catalog.own_files.house_style_file import read_house_style

        house = read_house_style(asked["house_file"])
        tell(tuple(_unconvertible(house)))
    given = {
        name: asked[name]
        for name in ("which", "style")
        if context.get_parameter_source(name) == ParameterSource.COMMANDLINE
    }
    hand = replace(house.hand, bracket="square") if asked["bracket"] else house.hand
    return replace(house, hand=hand, **given)


def _unconvertible(house: HouseStyle) -> Iterator[Remark]:
    """Abbreviations at which LilyPond stops, in the marks that are made for it."""
    if house.style not in (WORDS, LYRIC):
        return
    for text in house.hand.texts:
        if SHARP in text:
            yield Remark(
                f"the abbreviation {text!r} has a #, at which LilyPond stops after musicxml2ly: "
                f"write {text.replace(SHARP, PRINTED_SHARP)!r} or {text.replace(SHARP, ' sharp')!r}"
            )
