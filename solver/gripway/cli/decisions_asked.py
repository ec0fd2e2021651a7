"""--decisions at work: found again in the part, kept by the search, and what no longer fits told."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gripway.asked.wishes import Wishes
from gripway.cli.options.passage_choice import ChosenPassage, whole_notes
from gripway.cli.output import tell
from gripway.cli.stderr_messages import say
from gripway.edition.decided_marks import remarks_on
from gripway.edition.places.decided_places import NOTHING_DECIDED, Decided, Lost
from gripway.model.decision import Decision
from gripway.tasks.flute_player import FlutePlayer


def decisions_of(path: Path | None, house_file: Path | None = None) -> tuple[Decision, ...]:
    """The decisions of a file, none without one, written with a house's abbreviations or without.

    Raises DecisionsFileError.
    """
    if path is None:
        return ()
    from gripway.tasks.decisions import decisions

    if house_file is None:
        return decisions(path)
    from gripway.catalog.own_files.house_style_file import read_house_style

    return decisions(path, read_house_style(house_file))


@dataclass(frozen=True, slots=True)
class DecisionsAsked:
    """The decisions of `--decisions`, none without it, and how to read whole parts to find them in."""

    decisions: tuple[Decision, ...]
    asked: dict[str, Any]

    @classmethod
    def of(cls, asked: dict[str, Any]) -> "DecisionsAsked":
        """Read the file that is named. Raises DecisionsFileError."""
        return cls(decisions_of(asked.get("decisions_file"), asked.get("house_file")), asked)

    def tell_strays(self, sources: Sequence[ChosenPassage]) -> bool:
        """Say which decisions are for parts that the score has not; whether there are any."""
        readings = [source.reading for source in sources if source.reading]
        if self.decisions and readings:
            from gripway.tasks.decisions import of_no_part

            lost = of_no_part(self.decisions, readings[0].parts)
            tell_lost(lost)
            return bool(lost)
        return False

    def applied(self, source: ChosenPassage, mine: FlutePlayer, wishes: Wishes) -> tuple[Decided, Wishes]:
        """The decisions for one part, and the wishes with their grips; what has no place is told."""
        if not self.decisions or source.reading is None:
            return NOTHING_DECIDED, wishes
        from gripway.tasks.decisions import decided_in, with_decisions

        whole = whole_notes(source, self.asked)
        found = decided_in(self.decisions, source.reading, whole, mine, wishes)
        tell_lost(found.lost)
        tell(tuple(remarks_on(found)))
        return found, with_decisions(source.passage, mine, wishes, found)


def tell_lost(lost: Iterable[Lost]) -> None:
    """Say on standard error which decisions have no place, all of them."""
    for each in lost:
        place = each.decision.place
        where = f"{place.part + ', ' if place.part else ''}bar {place.bar}, {place.pitch.name}"
        say(f"remark: {each.decision.said_at} no longer fits: {where}: {each.words}")
