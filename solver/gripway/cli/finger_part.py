"""One part of a request: its passage, the flute it is played on, and what is wished for it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from gripway.asked.pins import ban_of, pin_of
from gripway.asked.wishes import Pin, Wishes
from gripway.cli.options.limit_options import limits_of
from gripway.cli.options.passage_choice import ChosenPassage, flute_for
from gripway.cli.options.shared import found_of
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.player import Player
from gripway.tasks.flute_player import FlutePlayer

if TYPE_CHECKING:
    from gripway.cli.decisions_asked import DecisionsAsked
    from gripway.edition.places.decided_places import Decided


@dataclass(frozen=True, slots=True)
class FingerPart:
    """A passage to finger and who plays it on which flute; `remarks` are those on the flute.

    `unkept` are the wishes without the fingerings kept from the score, `placed` an editor's decisions in
    this part (None: no file of them was named);
    `decisions_left` is whether one of them has no place here, or in any part of the score,
    `undecided` are the wishes without them.
    """

    source: ChosenPassage
    mine: FlutePlayer
    wishes: Wishes
    unkept: Wishes
    remarks: tuple[Remark, ...]
    placed: "Decided | None" = None
    decisions_left: bool = False
    undecided: Wishes | None = None

    @property
    def title(self) -> str:
        """The name of the part, with its number where it has one; empty for a line of notes."""
        reading = self.source.reading
        return f"Part {reading.part.index}, {self.source.passage.part}" if reading else ""

    @property
    def decided(self) -> "Decided":
        """An editor's decisions for this part; none where no file of them was named."""
        from gripway.edition.places.decided_places import NOTHING_DECIDED

        return self.placed or NOTHING_DECIDED


def finger_parts(
    sources: Sequence[ChosenPassage], player: Player, asked: dict[str, Any]
) -> Iterator[FingerPart]:
    """The parts of a request, each with its own flute and wishes."""
    _check_pins(sources, asked["pins"])
    decisions = _decisions(asked)
    strays = decisions.tell_strays(sources) if decisions else False
    known: dict[Instrument, FlutePlayer] = {}
    for source in sources:
        instrument, remarks = flute_for(source, asked, player)
        wishes = Wishes(
            player=player,
            pins=tuple(_pins(source, asked["pins"], several=len(sources) > 1)),
            bans=tuple(ban_of(text) for text in asked["bans"]),
            choose=asked["choose"],
            found=found_of(asked["found"], asked["found_wishes"]),
            limits=limits_of(asked),
            learn=asked["learn"],
        )
        mine = known.setdefault(instrument, FlutePlayer(instrument, player))
        undecided = wishes
        decided = None
        if decisions:
            decided, wishes = decisions.applied(source, mine, wishes)
        source = _with_remarks(source, _fingering_remarks(source, mine, wishes))
        kept = wishes
        if asked["keep_fingerings"]:
            from gripway.tasks.fingerings import with_kept_fingerings

            kept = with_kept_fingerings(source.passage, mine, wishes)
        left = strays or bool(decided and decided.lost)
        yield FingerPart(source, mine, kept, wishes, remarks, decided, left, undecided)


def _decisions(asked: dict[str, Any]) -> "DecisionsAsked | None":
    """What `--decisions` names; None without it."""
    if asked.get("decisions_file") is None:
        return None
    from gripway.cli.decisions_asked import DecisionsAsked

    return DecisionsAsked.of(asked)


def _with_remarks(source: ChosenPassage, remarks: tuple[Remark, ...]) -> ChosenPassage:
    """A source with more to say of its passage."""
    passage = source.passage
    return replace(source, passage=replace(passage, remarks=(*passage.remarks, *remarks)))


def _fingering_remarks(source: ChosenPassage, mine: FlutePlayer, wishes: Wishes) -> tuple[Remark, ...]:
    """What there is to say of the fingerings in a score; there mostly are none."""
    if not any(note.fingering for note in source.passage.notes):
        return ()
    from gripway.tasks.fingerings import fingering_remarks

    return fingering_remarks(source.passage, mine, wishes)


def _pins(source: ChosenPassage, texts: Sequence[str], *, several: bool) -> Iterator[Pin]:
    """The pins that are for this part."""
    ids = {note.id for note in source.passage.notes}
    for text in texts:
        pin = pin_of(text, len(source.passage.notes))
        if not several or pin.note in ids:
            yield pin


def _check_pins(sources: Sequence[ChosenPassage], texts: Sequence[str]) -> None:
    """With several parts a pin has to name a note of one of them."""
    if len(sources) < 2:
        return
    ids = {note.id for source in sources for note in source.passage.notes}
    for text in texts:
        name = text.partition("=")[0].strip()
        if name not in ids:
            raise RequestError(
                f"there is no note {name!r} in these parts",
                place=f"--pin {text}",
                next_step="Name the note by its id, such as P2-n17, as `--format json` shows it",
            )
