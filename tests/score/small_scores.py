"""Tiny MusicXML scores of our own, one feature each, made for the tests of this folder."""

from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import ScoreReading, read_score

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'


def note(pitch: str, duration: int = 4, *, before: str = "", after: str = "", attributes: str = "") -> str:
    """A note such as F#5 (divisions 4: duration 4 is a quarter); `r` is a rest."""
    if pitch == "r":
        core = "<rest/>"
    else:
        alter = {"#": "<alter>1</alter>", "b": "<alter>-1</alter>"}.get(pitch[1:2], "")
        core = f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
    length = "" if "<grace" in before else f"<duration>{duration}</duration>"
    return f"<note{attributes}>{before}{core}{length}{after}</note>"


def grace(pitch: str) -> str:
    """A grace note."""
    return note(pitch, before="<grace/>")


def bar(content: str, number: str = "1", *, key: int | None = None, attributes: str = "") -> str:
    """A measure; `key` writes a key signature in fifths."""
    key_text = f"<key><fifths>{key}</fifths></key>" if key is not None else ""
    head = f"<attributes><divisions>4</divisions>{key_text}{attributes}</attributes>"
    return f'<measure number="{number}">{head}{content}</measure>'


def score(*bars: str, name: str = "Flute") -> bytes:
    """A score of one part with these measures."""
    return scores((name, bars))


def scores(*parts: tuple[str, tuple[str, ...]]) -> bytes:
    """A score of several parts, each a name and its measures."""
    listed = "".join(
        f'<score-part id="P{place}"><part-name>{name}</part-name></score-part>'
        for place, (name, _) in enumerate(parts, start=1)
    )
    bodies = "".join(
        f'<part id="P{place}">{"".join(bars)}</part>' for place, (_, bars) in enumerate(parts, start=1)
    )
    text = f'{HEAD}<score-partwise version="4.0"><part-list>{listed}</part-list>{bodies}</score-partwise>'
    return text.encode()


def direction(inner: str, *, sound: str = "", offset: str = "") -> str:
    """A direction with one direction-type."""
    return f"<direction><direction-type>{inner}</direction-type>{offset}{sound}</direction>"


def tempo(quarters: float) -> str:
    """A playback tempo in quarters a minute."""
    return f'<sound tempo="{quarters}"/>'


def read(data: bytes, **options: object) -> ScoreReading:
    """Read bytes as a file called small.musicxml."""
    return read_score(data, "small.musicxml", ReadOptions(**options))  # type: ignore[arg-type]


def names(data: bytes, **options: object) -> list[str]:
    """The pitches of a score in played order."""
    return [each.pitch.name for each in read(data, **options).passage.notes]


def remarks(data: bytes, **options: object) -> str:
    """All remarks of a reading as one text."""
    return "\n".join(remark.text for remark in read(data, **options).passage.remarks)
