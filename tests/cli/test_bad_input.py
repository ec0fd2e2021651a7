"""Bad input of every kind: exit 2 or 1 with its place and next step, never a traceback."""

import io
import random
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.cli.run_gripway import FLUTE, PICCOLO, REPEATS, Answer, ask
from tests.cli.tiny_scores import note, part, score, simple
from tests.every import every
from tests.tiers import thinned

REFUSED = {
    "empty": (b"", "the file is empty", "Export the score again"),
    "blank": (b" \n\t", "the file is empty", "Export the score again"),
    "text": (b"hello", "no score gripway can read", "Give MusicXML"),
    "random": (bytes(range(128, 256)), "no score gripway can read", "Give MusicXML"),
    "other XML": (b"<html/>", "no MusicXML score (its root element is <html>)", "Export the score as"),
    "cut off": (simple("E6", "F6")[:250], "line 2: not well-formed XML", "damaged or cut off"),
    "no part": (b"<score-partwise/>", "the score has no bars", "Export it again"),
    "entities": (
        # the attack known as a billion laughs (CWE-776)
        score(part(note("E6"), name="&b;"), doctype='<!DOCTYPE x [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>\n'),
        "declares XML entities, which are not read",
        "Export the score again",
    ),
    "external entity": (
        # CWE-611: a score must not read other files
        score(part(note("E6"), name="&f;"), doctype='<!DOCTYPE x [<!ENTITY f SYSTEM "/etc/passwd">]>\n'),
        "declares XML entities, which are not read",
        "Export the score again",
    ),
    "deep": (b"<score-partwise>" + b"<a>" * 100_000, "elements are nested deeper than", "export it again"),
}


@pytest.fixture
def give(tmp_path: Path) -> Callable[..., Answer]:
    """Give the command a file with these bytes."""

    def given(data: bytes, *words: object, name: str = "small.musicxml") -> Answer:
        path = tmp_path / name
        path.write_bytes(data)
        return ask("finger", path, *words)

    return given


@pytest.mark.parametrize("case", REFUSED)
def test_a_score_that_is_none_is_refused_with_its_place(case: str, give: Callable[..., Answer]) -> None:
    """File, fault and next step on standard error, exit 2, nothing on standard output."""
    data, said, next_step = REFUSED[case]
    answer = give(data)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith("gripway: ")
    assert "root:" not in answer.err
    for text in (said, next_step):
        assert text in answer.err


def packed(**members: bytes) -> bytes:
    """A zip archive of these members."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name.replace("__", "/").replace("_xml", ".xml"), data)
    return target.getvalue()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (packed(readme=b"no score"), "no compressed MusicXML"),
        (packed(big=b"\0" * 30_000_000), "too much for a score"),
        (packed(readme=b"no score")[:40], "cannot be unpacked"),
    ],
    ids=["no score", "bomb", "cut off"],
)
def test_a_zip_that_is_no_score_is_refused(data: bytes, said: str, give: Callable[..., Answer]) -> None:
    """Also one that would grow a thousandfold (CWE-409)."""
    answer = give(data, name="part.mxl")
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith("gripway: part.mxl: ")
    assert said in answer.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere.musicxml"], "nowhere.musicxml: there is no such file. Check the path"),
        (["n" * 300], "File name too long"),
        (["."], ".: this is a folder. Give a score file in it"),
        ([REPEATS, "--part", "Oboe"], "there is no part 'Oboe'. Choose one by number or name: 1 Flute"),
        ([REPEATS, "--bars", "900"], "there is no bar '900'. The bars go from 1 to 299"),
        ([REPEATS, "--bars", "5-2"], "bars 5-2 end before they begin"),
        ([REPEATS, "--voice", "9"], "voice"),
        (["--notes", ""], "there are no notes. Write for example"),
        (["--notes", "r r"], "there are no notes"),
        (["--notes", "E6 foo"], "word 2, 'foo': 'foo' is neither a pitch nor a rest nor a dynamic"),
        (
            ["--notes", "E6 Fis6"],
            "word 2, 'Fis6': 'Fis6' is neither a pitch nor a rest nor a dynamic. In English",
        ),
        (
            ["--notes", "E6", "--ban", "H5=T | Eb"],
            "--ban H5=T | Eb: 'H5' is not a pitch. In English it is B5",
        ),
        (["--notes", "E6 F6:0"], "word 2, 'F6:0': '0' is no length"),
        (["--notes", "(E6 F6"], "word 1, '(E6': the slur opened here is never closed"),
        (["--notes", "E6 \udcff"], "word 2"),
        (["--notes", "E6", "--instrument", "oboe"], "unknown instrument 'oboe'. The instruments are"),
        (["--notes", "E6", "--with", "split-x"], "unknown part 'split-x'. The parts a concert flute may"),
        (["--notes", "E6", "--player", "none.toml"], "none.toml: cannot be read: No such file"),
    ],
)
def test_a_request_that_cannot_be_met_says_what_is_there(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The parts, bars or words there are, and exit 2."""
    monkeypatch.chdir(tmp_path)
    answer = ask("finger", *words)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith("gripway: ")
    assert said in answer.err


def test_a_pitch_outside_the_flute_leaves_the_rest_solved(give: Callable[..., Answer]) -> None:
    """A G3 in bar 2 is a gap named with its bar; the notes around it have grips; exit 1."""
    answer = give(score(part(note("E6"), note("G3"), note("F6"))), "--format", "json")
    assert answer.code == 1
    grips = [(each["bar"], each["grip"] is None, bool(each["flags"])) for each in answer.json["notes"]]
    assert [missing for _, missing, _ in grips] == [False, True, False]
    assert grips[1] == ("2", True, True)
    text = give(score(part(note("E6"), note("G3"), note("F6"))))
    assert "(1 note without a grip)" in text.out
    assert "outside the concert flute" in " ".join(text.out.split())


def test_a_microtone_is_a_gap_with_its_reason(give: Callable[..., Answer]) -> None:
    """A quarter tone is not rounded silently to a grip."""
    quarter = note("E6").replace("<step>E</step>", "<step>E</step><alter>0.5</alter>")
    answer = give(score(part(note("E6") + quarter)), "--format", "json")
    assert answer.code == 1
    assert answer.json["notes"][1]["grip"] is None
    assert "microtone" in " ".join(answer.json["notes"][1]["flags"])


def test_notes_without_pitch_are_left_out_and_said(give: Callable[..., Answer]) -> None:
    """Percussion has no grips."""
    beat = (
        "<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched>"
        "<duration>4</duration></note>"
    )
    answer = give(score(part(note("E6") + beat)), "--format", "json")
    assert [each["pitch"] for each in answer.json["notes"]] == ["E6"]
    assert "without pitch" in answer.err or "unpitched" in answer.err


def test_a_score_without_tempo_says_what_was_assumed(give: Callable[..., Answer]) -> None:
    """No tempo is guessed silently."""
    answer = give(simple("E6", "F6"))
    assert "tempo" in answer.err
    assert answer.err.startswith("remark: ")
    assert "tempo" not in give(simple("E6", "F6"), "--tempo", "90").err


@pytest.mark.parametrize("tempo", ["0", "4", "501", "1e9", "nan", "inf", "-60"])
def test_an_absurd_tempo_is_refused(tempo: str) -> None:
    """Five to five hundred quarters a minute."""
    answer = ask("finger", "--notes", "E6", f"--tempo={tempo}")
    assert (answer.code, answer.data) == (2, b"")
    assert "Give 5 to 500" in answer.err


def test_a_chord_says_which_note_was_taken(give: Callable[..., Answer]) -> None:
    """A flute plays one note: the one read is named, with its bar."""
    answer = give(score(part(note("C6") + note("E6", before="<chord/>"))))
    assert "bar 1: " in answer.err
    assert "chord" in answer.err


@pytest.mark.whole
def test_a_long_line_of_notes_is_fingered() -> None:
    """Some thousand notes on the command line are no stumbling block."""
    answer = ask("finger", "--notes", "E6 F#6 G#6 A6 " * 1000, "--format", "json")
    assert answer.code == 0
    assert len(answer.json["notes"]) == 4000


def survives(answer: Answer) -> bool:
    """Whether an answer is one of the three kinds, with a message where it is a refusal."""
    if answer.code == 2:
        said = answer.err.splitlines()[-1]
        return answer.data == b"" and said.startswith(("gripway: ", '{"schema": 1, "error": '))
    return answer.code in (0, 1) and answer.data.startswith(b"{")


@every(range(100))
def test_random_bytes_never_end_in_a_traceback(seed: int) -> None:
    """Noise, with or without the head of a format, is an answer or a refusal."""
    chance = random.Random(seed)
    heads = (
        b"",
        b"<?xml version='1.0'?>",
        b"PK\x03\x04",
        b"MThd",
        b"X:1\nK:C\n",
        b"\xff\xfe<\0",
        b"<score-partwise>",
    )
    data = chance.choice(heads[:3] + heads[5:]) + chance.randbytes(chance.randrange(400))
    assert survives(ask("finger", "-", "--format", "json", stdin=data))


STRANGE = (b"-1", b"0", b"1e9", b"", b"x", b"99999999999", b"1/0", b"nan", b"0.5", b"128", b"<a/>")
WHOLE_ELEMENT = re.compile(rb"\s*<(\S+)[^>]*>[^<]*</\1>\s*|\s*<[^>]*/>\s*")
NUMBER = re.compile(rb"(?<=[>\"])-?\d+(?=[<\"])")


def mutated(data: bytes, chance: random.Random) -> bytes:
    """A real score with elements lost, doubled or moved, and numbers made strange."""
    lines = data.splitlines(keepends=True)
    for _ in range(chance.randrange(1, 12)):
        elements = [at for at, line in enumerate(lines) if WHOLE_ELEMENT.fullmatch(line)]
        at, other = chance.choice(elements), chance.choice(elements)
        match chance.randrange(4):
            case 0:
                lines[at] = b""
            case 1:
                lines[at] *= 2
            case 2:
                lines[at], lines[other] = lines[other], lines[at]
            case _:
                strange = chance.choice(STRANGE)
                numbers = [place for place, line in enumerate(lines) if NUMBER.search(line)]
                at = chance.choice(numbers)
                lines[at] = NUMBER.sub(lambda _: strange, lines[at], count=1)  # noqa: B023 - used at once
    if chance.random() < 0.1:
        at = chance.randrange(len(lines))
        lines[at] = lines[at][:3] + chance.randbytes(1) + lines[at][4:]
    return b"".join(lines)


def beginning(path: Path, bars: int) -> bytes:
    """The first bars of a real part."""
    head, *rest = path.read_bytes().split(b"<measure ")
    return b"<measure ".join([head, *rest[:bars]]) + b"</part></score-partwise>"


@pytest.mark.parametrize("seed", thinned(range(100), 5))
def test_a_damaged_real_score_never_ends_in_a_traceback(seed: int) -> None:
    """Whatever happened to the file, the command answers or says what is wrong with it."""
    chance = random.Random(seed)
    data = mutated(beginning(chance.choice([FLUTE, PICCOLO, REPEATS]), 30), chance)
    form = chance.choice(["json", "json", "musicxml"])
    answer = ask("finger", "-", "--format", form, stdin=data)
    assert survives(answer) or (form == "musicxml" and answer.code in (0, 1))


def test_most_damaged_scores_are_still_read() -> None:
    """The damage above is not of the kind that only the XML parser sees."""
    chances = [random.Random(seed) for seed in range(20)]
    answers = [
        ask("finger", "-", "--format", "json", stdin=mutated(beginning(REPEATS, 10), each))
        for each in chances
    ]
    assert sum(answer.code != 2 for answer in answers) >= 5


@pytest.mark.parametrize(
    "data",
    [
        simple("E6", attributes="<transpose><chromatic>²</chromatic></transpose>"),
        simple("E6", attributes="<key><fifths>²</fifths></key>"),
        simple("E6", attributes="<key><fifths>+-1</fifths></key>"),
        simple("E6", attributes="<time><beats>²</beats><beat-type>4</beat-type></time>"),
        score(part(note("E6") + '<barline><repeat direction="backward" times="²"/></barline>')),
        simple("E6").replace(b"<note>", '<note time-only="²">'.encode()),
    ],
    ids=["transpose", "key", "signs", "time", "times", "time-only"],
)
def test_signs_that_only_look_like_digits_are_no_traceback(data: bytes) -> None:
    """A superscript two is a digit to Python's `isdigit`, and no number to `int`."""
    assert survives(ask("finger", "-", "--format", "json", stdin=data))


def test_notes_of_no_length_are_no_traceback() -> None:
    """Divisions of 99999999999 make a quarter last some billionths of a second."""
    data = simple("E6", "F#6", "G6").replace(b"<divisions>4<", b"<divisions>99999999999<")
    assert survives(ask("finger", "-", "--format", "json", stdin=data))
