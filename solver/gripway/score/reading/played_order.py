"""Played order: which written bar sounds when, with repeats, endings and jumps followed."""

from collections.abc import Sequence

from gripway.errors import ScoreError
from gripway.score.reading.jump_signs import BarJumps

MAX_PLAYED_BARS = 50_000
"""More bars than any flute part has; beyond it the repeats of the file are a slip (judgement)."""


def played_order(jumps: Sequence[BarJumps], name: str, numbers: Sequence[str]) -> list[int]:
    """Bar indices in the order they are played; `name` and bar `numbers` are for errors.

    Common practice: a section is played twice, or as often as its repeat or endings say;
    D.C. and D.S. are followed once each, after them repeats are not taken, the last ending
    is played, "to coda" and Fine count. Raises ScoreError where they are too many.
    """
    player = _Player(jumps)
    while player.here < len(jumps):
        if len(player.order) == MAX_PLAYED_BARS:
            raise ScoreError(
                f"the repeats make more than {MAX_PLAYED_BARS} bars",
                place=f"{name}, bar {numbers[player.here]}",
                next_step="Check the repeat signs of the score, or have them written out",
            )
        player.step()
    return player.order


class _Player:
    """The place reached, the section being repeated, and what was already jumped."""

    def __init__(self, jumps: Sequence[BarJumps]) -> None:
        self.jumps = jumps
        self.endings = _ending_spans(jumps)
        self.order: list[int] = []
        self.here = 0
        self.section = 0
        self.time = 1
        self.jumped: set[int] = set()

    def step(self) -> None:
        """Play or skip the bar reached and move to the next."""
        bar = self.jumps[self.here]
        if bar.forward and self.here != self.section:
            self._open_section(self.here)
        span = self.endings.get(self.here)
        if span is not None and self.here == span[0] and not self._plays(span):
            self.here = span[1] + 1
            return
        self.order.append(self.here)
        if not self._jump(bar) and not self._repeat(bar, span):
            self.here += 1
            if span is not None and self.here > span[1] and self.here not in self.endings:
                self._open_section(self.here)

    def _open_section(self, bar: int) -> None:
        self.section, self.time = bar, 1

    def _plays(self, span: tuple[int, int]) -> bool:
        """Whether this ending is the one for this time; after a jump, the last of its group."""
        numbers = self.jumps[span[0]].ending
        if self.jumped:
            return span[1] + 1 not in self.endings
        return self.time in numbers

    def _jump(self, bar: BarJumps) -> bool:
        """Follow Fine, "to coda", D.C. or D.S. from this bar; whether one was followed."""
        if self.jumped and bar.fine:
            self.here = len(self.jumps)
            return True
        if self.jumped and bar.tocoda is not None:
            target = self._labelled("coda", bar.tocoda, after=self.here)
            if target is not None:
                self.here = target
                return True
        if self.here in self.jumped or not (bar.dacapo or bar.dalsegno is not None):
            return False
        if self._more_to_repeat(bar):
            return False
        target = 0 if bar.dacapo else self._labelled("segno", bar.dalsegno or "", before=self.here)
        if target is None:
            return False
        self.jumped.add(self.here)
        self._open_section(target)
        self.here = target
        return True

    def _labelled(self, mark: str, label: str, *, after: int = -1, before: int | None = None) -> int | None:
        """The bar that carries this mark: the same label if there is one, else the nearest."""
        last = len(self.jumps) - 1 if before is None else before
        found = [i for i in range(after + 1, last + 1) if getattr(self.jumps[i], mark) is not None]
        same = [i for i in found if getattr(self.jumps[i], mark) == label]
        if not found:
            return None
        return (same or found)[0 if before is None else -1]

    def _more_to_repeat(self, bar: BarJumps) -> bool:
        return bool(bar.backward) and not self.jumped and self.time < self._times(bar)

    def _repeat(self, bar: BarJumps, span: tuple[int, int] | None) -> bool:
        """Go back to the start of the section; whether it was done."""
        if not bar.backward:
            return False
        if self._more_to_repeat(bar):
            self.time += 1
            self.here = self.section
            return True
        if span is None or self.here + 1 not in self.endings:
            self._open_section(self.here + 1)
        return False

    def _times(self, bar: BarJumps) -> int:
        """How often the section is played: by its endings where it has some, else as the repeat says."""
        numbers: set[int] = set()
        place = self.here
        while (span := self.endings.get(place)) is not None:
            numbers |= self.jumps[span[0]].ending
            place = span[1] + 1
        return max(bar.backward, *numbers) if numbers else bar.backward


def _ending_spans(jumps: Sequence[BarJumps]) -> dict[int, tuple[int, int]]:
    """For every bar under an ending bracket, the first and last bar of that bracket.

    A bracket without numbers is no ending; one never closed ends before the next, or with
    the score.
    """
    spans: dict[int, tuple[int, int]] = {}
    for first, bar in enumerate(jumps):
        if not bar.ending:
            continue
        last = first
        while not (jumps[last].ending_stop or jumps[last].backward):
            if last + 1 == len(jumps) or jumps[last + 1].ending:
                break
            last += 1
        spans.update(dict.fromkeys(range(first, last + 1), (first, last)))
    return spans
