"""Limits over the whole passage: --limit, --rules and --time-limit."""

from dataclasses import replace
from typing import Any

import click

from gripway.asked.limits import NO_LIMITS, USUAL_SECONDS, Limits
from gripway.cli.options.together import file_option, together
from gripway.errors import RequestError

limit_options = together(
    click.option(
        "--limit",
        "limit_words",
        multiple=True,
        metavar="WORDS",
        help="What the whole route must keep to: same figure same grip; at most 3 unusual grips; learn at "
        "most 2 grips; tuning within 120 cents; no note over 15 cents; thumb stays in bars 12-20.",
    ),
    file_option(
        "--rules",
        "rules_file",
        "Your own rules (TOML): when these notes, forbid, require or prefer these touches.",
    ),
    click.option(
        "--time-limit",
        "seconds",
        type=float,
        metavar="SECONDS",
        help=f"The search under limits stops after so long  [default: {USUAL_SECONDS:g}].",
    ),
)
"""--limit, --rules and --time-limit."""


def limits_of(asked: dict[str, Any]) -> Limits:
    """The limits of the options. RequestError or RulesFileError for any that cannot be used."""
    words, rules, seconds = asked["limit_words"], asked["rules_file"], asked["seconds"]
    limits = NO_LIMITS
    if words:
        from gripway.asked.limit_words import parse_limits

        limits = parse_limits(words)
    if rules:
        from gripway.catalog.own_files.rules_file import read_rules

        limits = replace(limits, rules=read_rules(rules))
    if seconds is None:
        return limits
    if not limits:
        raise RequestError(
            "this option is for limits", place="--time-limit", next_step="Add a --limit, or leave it out"
        )
    try:
        return replace(limits, seconds=seconds)
    except RequestError as problem:
        raise RequestError(problem.what, place="--time-limit", next_step=problem.next_step) from None
