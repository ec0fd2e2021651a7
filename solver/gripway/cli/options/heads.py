"""The options of a command under heads, where it has many: the help page is read by what one looks for."""

from collections.abc import Iterable

import click

MANY = 12
"""Options from which they stand under heads."""

HEADS: dict[str, tuple[str, ...]] = {
    "The passage": ("notes", "wanted_parts", "voice", "bars", "tempo", "unit"),
    "The flute and its player": ("instrument", "parts", "player_file", "dials"),
    "What grips may be": (
        "pins", "bans", "keep_fingerings", "decisions_file", "decisions_folder", "found", "found_wishes",
        "learn", "limit_words", "rules_file", "seconds", "choose",
    ),
    "Other answers": ("tradeoff", "whole_front", "alternatives", "differ", "differ_in", "curve", "explain"),
    "Marks in a score": ("house_file", "which", "style", "bracket", "renew"),
    "The days and the drills": (
        "minutes", "days", "order", "most", "articulation", "log", "reached", "mastered",
    ),
    "The answer": ("form", "out", "reports", "parquet", "quiet", "verbose"),
}  # fmt: skip
"""The head of each option by its parameter's name; the others stand last, under `More`."""

REST = "More"


class Headed(click.Command):
    """A command whose help page shows its options under heads."""

    def format_options(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, those of one head together."""
        shown = [(each.name or "", each.get_help_record(context)) for each in self.get_params(context)]
        records = [(name, record) for name, record in shown if record is not None]
        if len(records) < MANY:
            super().format_options(context, formatter)
            return
        named = {name for names in HEADS.values() for name in names}
        others = tuple(name for name, _ in records if name not in named)
        for head, names in {**HEADS, REST: others}.items():
            self._write(formatter, head, [record for name, record in records if name in names])

    @staticmethod
    def _write(formatter: click.HelpFormatter, head: str, records: Iterable[tuple[str, str]]) -> None:
        if rows := [*records]:
            with formatter.section(head):
                formatter.write_dl(rows)
