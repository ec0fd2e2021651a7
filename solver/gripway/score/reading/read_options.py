"""What a reader of scores is asked for."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from gripway.errors import RequestError


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """Which part, bars and voice to read, and at which tempo.

    `part` is a name, an id or a number from 1; `bars` is "12-20", "12", "12-" or "-20";
    `voice` the number of a voice. `tempo` (quarters a minute) replaces every mark of the
    score. `tempo_words` maps tempo words in lower case to beats a minute, used where no
    number is written. With `unmarked` marks of our own are taken out first. Raises RequestError
    for a tempo that is none.
    """

    part: str | None = None
    bars: str | None = None
    tempo: float | None = None
    voice: str | None = None
    tempo_words: Mapping[str, float] = field(default_factory=dict)
    unmarked: bool = False

    def __post_init__(self) -> None:
        if self.tempo is not None and not (math.isfinite(self.tempo) and self.tempo > 0):
            raise RequestError(
                f"{self.tempo:g} is no tempo", next_step="Give quarter notes a minute, such as 96"
            )
