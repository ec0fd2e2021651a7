"""Whole scores to damage: tiny ones of our own, a feature or two each, and the beginnings of real parts."""

import random
from functools import cache
from pathlib import Path

from tests.cli.run_gripway import FLUTE, PICCOLO, REPEATS

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"

FEW_LARGE = 0.1
"""How often one of the larger scores is taken: they cost ten times as much, and are damaged more thinly."""


def _note(pitch: str, duration: int = 4, more: str = "", before: str = "", kind: str = "quarter") -> str:
    step, octave = pitch[0], pitch[-1]
    alter = {"#": "<alter>1</alter>", "b": "<alter>-1</alter>"}.get(pitch[1:-1], "")
    held = "" if "<grace" in before else f"<duration>{duration}</duration>"
    core = f"<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>{held}"
    return f"<note>{before}{core}<voice>1</voice><type>{kind}</type>{more}</note>\n"


def _said(inside: str, sound: str = "") -> str:
    return f"<direction><direction-type>{inside}</direction-type>{sound}</direction>\n"


def _signs(inside: str) -> str:
    return f"<notations>{inside}</notations>"


def _score(*bars: str, attributes: str = "", name: str = "Flute") -> bytes:
    head = (
        f"<attributes><divisions>4</divisions><key><fifths>2</fifths></key>{attributes}</attributes>\n"
        '<sound tempo="132"/>\n'
    )
    measures = "".join(
        f'<measure number="{number}">{head if number == 1 else ""}{bar}</measure>\n'
        for number, bar in enumerate(bars, start=1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><part-list>'
        f'<score-part id="P1"><part-name>{name}</part-name></score-part></part-list>\n'
        f'<part id="P1">{measures}</part></score-partwise>\n'
    ).encode()


TINY = {
    "plain": _score(
        _said("<dynamics><mf/></dynamics>")
        + _note("F#6", 2, _signs('<slur number="1" type="start"/>'), kind="eighth")
        + _note("G6", 2, _signs('<slur number="1" type="stop"/>'), kind="eighth")
        + '<note><rest/><duration>4</duration><voice>1</voice></note><note><rest measure="yes"/>'
        + "<duration>8</duration></note>",
        _note("E6", 4, '<tie type="start"/>' + _signs('<tied type="start"/>'))
        + _note("E6", 6, "<dot/>" + _signs("<articulations><staccato/></articulations>")),
        attributes="<time><beats>4</beats><beat-type>4</beat-type></time>",
    ),
    "ornaments": _score(
        _note("F6", before='<grace slash="yes"/>', kind="16th")
        + _note("E6", 8, _signs('<ornaments><trill-mark/><wavy-line type="start" number="1"/></ornaments>'))
        + _note("D6", 4, _signs("<ornaments><mordent/><accidental-mark>sharp</accidental-mark></ornaments>"))
        + _note("B5", 4, _signs('<ornaments><turn/><wavy-line type="stop" number="1"/></ornaments>')),
        _note("C#6", 8, _signs('<ornaments><tremolo type="start">3</tremolo></ornaments>'))
        + _note("E6", 8, _signs('<ornaments><tremolo type="stop">3</tremolo></ornaments><fermata/>')),
    ),
    "repeats": _score(
        '<barline location="left"><repeat direction="forward"/></barline>' + _note("D6") + _note("E6"),
        '<barline location="left"><ending number="1" type="start"/></barline>'
        + _note("F#6")
        + '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>',
        '<barline location="left"><ending number="2" type="start"/></barline>'
        + _note("G6")
        + '<barline location="right"><ending number="2" type="discontinue"/></barline>',
        _said("<segno/>", '<sound segno="s"/>') + _note("A6") + _said("<words>Fine</words>", '<sound fine="yes"/>'),
        _note("B6") + _said("<words>D.S. al Fine</words>", '<sound dalsegno="s"/>'),
    ),
    "tuplets": _score(
        "".join(
            _note(
                pitch,
                4,
                "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>",
                kind="eighth",
            )
            for pitch in ("A5", "B5", "C#6")
        )
        + _note("E5", 4, before="<chord/>"),
        _note("D6", 8)
        + "<backup><duration>8</duration></backup>"
        + "<note><pitch><step>F</step><octave>5</octave></pitch><duration>4</duration><voice>2</voice></note>"
        + "<forward><duration>4</duration><voice>2</voice></forward>"
        + "<note><cue/><pitch><step>G</step><octave>5</octave></pitch><duration>2</duration></note>",
    ),
    "marks": _score(
        _note("F#6", 4, _signs("<technical><fingering>T 1 3 | 3 Eb</fingering></technical>"))
        + _note("G#6", 4, '<lyric name="grip" number="9"><text>T | Eb</text></lyric>')
        + _said("<words>hold</words>")
        + _note("A6", 4, _signs('<technical><harmonic/><open-string/></technical><dynamics><ff/></dynamics>')),
        _note("F#6", 2, _signs("<technical><fingering>1</fingering></technical>"))
        + _said("<words>simile</words>")
        + _note("Bb5", 2, '<lyric number="1"><syllabic>single</syllabic><text>la</text></lyric>'),
    ),
    "tempos": _score(
        _said("<words>Allegro</words>")
        + _said(
            "<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 96</per-minute></metronome>"
        )
        + _note("C6", 2)
        + _said('<wedge type="crescendo"/>')
        + _note("D6", 2)
        + _said('<octave-shift type="down" size="8"/>')
        + _note("E6", 4),
        _said("<words>rit.</words>", '<sound tempo="60"/>') + _note("F#6", 8) + _said('<wedge type="stop"/>'),
        "<attributes><time><senza-misura/></time></attributes>" + _note("G6", 16),
        attributes="<time><beats>6</beats><beat-type>8</beat-type></time>",
    ),
    "transposed": _score(
        "<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes>"
        '<note><rest measure="yes"/><duration>16</duration></note>',
        '<note><rest measure="yes"/><duration>16</duration></note>',
        _note("G5", 8)
        + _note("A5", 8)
        + '<barline location="right"><bar-style>light-heavy</bar-style></barline>',
        '<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>',
        attributes="<staves>1</staves><clef><sign>G</sign><line>2</line></clef><transpose><diatonic>-3</diatonic>"
        "<chromatic>-5</chromatic></transpose>",
        name="Alto Flute",
    ),
    "timewise": b'<?xml version="1.0"?>\n<score-timewise version="4.0"><part-list>'
    b'<score-part id="A"><part-name>Flute 1</part-name></score-part>'
    b'<score-part id="B"><part-name>Piccolo</part-name></score-part></part-list>\n'
    + b"".join(
        b'<measure number="%d"><part id="A"><attributes><divisions>1</divisions></attributes>%s</part>\n'
        b'<part id="B">%s</part></measure>\n' % (number, one, two)
        for number, one, two in (
            (1, _note("D6", 1).encode(), b"<note><rest/><duration>1</duration></note>"),
            (2, _note("E6", 1).encode(), _note("F#5", 1).encode()),
        )
    )
    + b"</score-timewise>\n",
}  # fmt: skip
"""Scores of two to six notes, by what is in them."""


def seed(chance: random.Random) -> bytes:
    """A whole score: nine times in ten a tiny one."""
    return chance.choice(bases() if chance.random() < FEW_LARGE else tuple(TINY.values()))


@cache
def bases() -> tuple[bytes, ...]:
    """Small whole scores: the beginnings of real parts, and our own examples."""
    own = [beginning(EXAMPLES / f"{name}.musicxml", 3) for name in ("ladder_cell", "kettle_trills")]
    parts = [beginning(path, bars) for path in (FLUTE, PICCOLO, REPEATS) for bars in (2, 4)]
    return (*own, *parts, repeats(REPEATS))


def beginning(path: Path, bars: int) -> bytes:
    """The first bars of a part."""
    head, *rest = path.read_bytes().split(b"<measure ")
    return b"<measure ".join([head, *rest[:bars]]).partition(b"</part>")[0] + b"</part></score-partwise>"


def repeats(path: Path) -> bytes:
    """A part's first bars and the bar with its first repeat."""
    head, *rest = path.read_bytes().split(b"<measure ")
    repeated = next(bar for bar in rest if b"<repeat" in bar)
    return (
        b"<measure ".join([head, *rest[:2], repeated]).partition(b"</part>")[0] + b"</part></score-partwise>"
    )
