"""Tiny scores of our own, one feature each, for the command's tests."""

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'


def note(pitch: str, duration: int = 4, inside: str = "", before: str = "") -> str:
    """A note such as F#6 (duration 4 is a quarter), with elements before its pitch and at its end."""
    alter = {"#": "<alter>1</alter>", "b": "<alter>-1</alter>"}.get(pitch[1:2], "")
    core = f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
    return f"<note>{before}{core}<duration>{duration}</duration>{inside}</note>\n"


def fingering(text: str) -> str:
    """A fingering as it stands in a note."""
    return f"<notations><technical><fingering>{text}</fingering></technical></notations>"


def part(*bars: str, name: str = "Flute", attributes: str = "") -> tuple[str, str]:
    """A part of these bars, numbered from 1: its name and its measures."""
    head = f"<attributes><divisions>4</divisions>{attributes}</attributes>"
    measures = (
        f'<measure number="{number}">{head if number == 1 else ""}{bar}</measure>\n'
        for number, bar in enumerate(bars, start=1)
    )
    return name, "".join(measures)


def score(*parts: tuple[str, str], doctype: str = "") -> bytes:
    """A score of these parts."""
    numbered = list(enumerate(parts, start=1))
    listed = "".join(
        f'<score-part id="P{place}"><part-name>{name}</part-name></score-part>'
        for place, (name, _) in numbered
    )
    bodies = "".join(f'<part id="P{place}">{measures}</part>' for place, (_, measures) in numbered)
    text = f'<score-partwise version="4.0"><part-list>{listed}</part-list>{bodies}</score-partwise>'
    return f"{HEAD}{doctype}{text}\n".encode()


def simple(*pitches: str, **options: str) -> bytes:
    """A score of one part and one bar with these pitches."""
    return score(part("".join(map(note, pitches)), **options))
