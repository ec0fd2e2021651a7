"""Rules that ask for nothing here: for no note, for bars beyond the passage, for touches the flute lacks."""

from collections.abc import Iterator, Sequence

from gripway.asked.spans import places_of_rule, reach_outside
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.model.passage import Note, Remark
from gripway.model.rule import REQUIRE, Rule


def rule_remarks(
    rules: Sequence[Rule], notes: tuple[Note, ...], instrument: Instrument
) -> tuple[Remark, ...]:
    """What is to be said of the rules. RequestError where one requires touches that the flute lacks."""
    return tuple(remark for rule in rules for remark in _remarks(rule, notes, instrument))


def _remarks(rule: Rule, notes: tuple[Note, ...], instrument: Instrument) -> Iterator[Remark]:
    if not places_of_rule(rule, notes):
        yield Remark(f"{rule.place} is for no note here")
    elif rule.when.span and (outside := reach_outside(rule.when.span, notes)):
        yield Remark(f"{rule.place}: {outside}")
    lacking = [(each, instrument.mechanism.missing(each.grip)) for each in rule.holds]
    if rule.action == REQUIRE and all(touches for _, touches in lacking):
        touches = " ".join(dict.fromkeys(touch for _, missing in lacking for touch in missing))
        raise RequestError(
            f"requires {touches}, which the {instrument.title} has not",
            place=rule.place,
            next_step="Name the parts your flute has, or leave the rule out",
        )
    for each, missing in lacking:
        if missing:
            has_not = f"the {instrument.title} has no {' '.join(missing)}"
            yield Remark(f"{rule.place}: {rule.action} {each.words}: {has_not}")
