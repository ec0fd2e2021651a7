"""What is said on standard error beside an answer: how much of it, as --quiet and --verbose ask."""

import json
import sys
from collections.abc import Sequence
from itertools import pairwise

import click

from gripway.display import SCHEMA

QUIET, VERBOSE = "gripway.quiet", "gripway.verbose"
MOST_REMARKS = 12
"""So many remarks of a kind are said; --verbose says all."""


def _noted(context: click.Context, option: click.Parameter, given: bool) -> None:
    context.meta[f"gripway.{option.name}"] = given


quiet_option = click.option(
    "-q",
    "--quiet",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_noted,
    help="Say nothing beside the answer but errors.",
)
verbose_option = click.option(
    "-v",
    "--verbose",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_noted,
    help=f"Say every remark, not the first {MOST_REMARKS}.",
)


def say(text: str) -> None:
    """A line on standard error, unless nothing was to be said."""
    if not is_asked(QUIET):
        click.echo(text, err=True)


def is_asked(name: str) -> bool:
    """Whether QUIET or VERBOSE was asked for by the command that runs."""
    context = click.get_current_context(silent=True)
    return bool(context is not None and context.meta.get(name))


def say_error(code: str, what: str, next_step: str = "", place: str = "") -> None:
    """A message on standard error: in words, or as an object of its parts where JSON was asked for."""
    if _is_json_asked(sys.argv):
        error = {"code": code, "what": what, "place": place, "next_step": next_step}
        click.echo(json.dumps({"schema": SCHEMA, "error": error}, ensure_ascii=False), err=True)
        return
    head = f"{place}: {what}" if place else what
    click.echo(f"gripway: {head}. {next_step}" if next_step else f"gripway: {head}", err=True)


def _is_json_asked(words: Sequence[str]) -> bool:
    return "--format=json" in words or ("--format", "json") in pairwise(words)
