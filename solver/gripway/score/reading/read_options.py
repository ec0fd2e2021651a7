"""What a reader of scores is asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from gripway.display import set_apart
from gripway.model.tempo import check_tempo, check_tempo_percent


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """Which part, bars and voice to read, and at which tempo.

    `part` is a name, an id or a number from 1; `bars` is "12-20", "12" (or 12), "12-" or "-20", played as
    the repeats say (bars within a repeat are there twice; `time_through` of a note tells them apart); `voice`
    the number of a voice. `tempo` (quarters a minute) is that of most of the notes,
    what the score prints for others keeps its proportion to it; `tempo_percent` takes
    what holds slower or faster, in percent (10 to 300). `tempo_words` maps tempo words in lower case to beats
    a minute, used where no number is written. With `unmarked` marks of our own are taken out first;
    `abbreviations` are a house's own texts for grips, which are read as those. Raises RequestError for a
    tempo below 5 or above 500, and for percents out of bounds.

    >>> import gripway
    >>> gripway.ReadOptions(bars="12-20", tempo=96)
    <ReadOptions: bars='12-20', tempo=96>
    """

    part: str | None = None
    bars: str | None = None
    tempo: float | None = None
    tempo_percent: float = 100.0
    voice: str | None = None
    tempo_words: Mapping[str, float] = field(default_factory=dict)
    unmarked: bool = False
    abbreviations: Mapping[str, str] = field(default_factory=dict)

    def __init__(
        self,
        part: str | int | None = None,
        bars: str | int | None = None,
        tempo: float | None = None,
        voice: str | int | None = None,
        tempo_words: Mapping[str, float] | None = None,
        unmarked: bool = False,
        abbreviations: Mapping[str, str] | None = None,
        tempo_percent: float = 100.0,
    ) -> None:
        check_tempo(tempo)
        check_tempo_percent(tempo_percent)
        texts = {"part": part, "bars": bars, "voice": voice}
        read: dict[str, object] = {key: None if text is None else str(text) for key, text in texts.items()}
        read |= {"tempo": tempo, "tempo_percent": tempo_percent}
        read |= {"tempo_words": tempo_words or {}, "unmarked": unmarked}
        for key, value in (read | {"abbreviations": abbreviations or {}}).items():
            object.__setattr__(self, key, value)

    def __repr__(self) -> str:
        return set_apart(self)
