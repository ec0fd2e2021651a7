"""Damaged scores: bytes, tags, numbers, encodings and zips, read by every command that reads one."""

import io
import random
import re
import warnings
import zipfile

from tests.faults.damage import damaged, damaged_bytes, damaged_lines, damaged_numbers, few
from tests.faults.judging import Case, Section
from tests.faults.seeds import seed

NAMES = (
    *("note", "pitch", "step", "alter", "octave", "rest", "duration", "voice", "type", "dot", "accidental", "chord"),
    *("grace", "cue", "tie", "tied", "slur", "notations", "ornaments", "trill-mark", "mordent", "turn", "tremolo"),
    *("technical", "fingering", "articulations", "staccato", "dynamics", "wedge", "direction", "direction-type"),
    *("words", "metronome", "beat-unit", "per-minute", "sound", "attributes", "divisions", "key", "fifths", "mode"),
    *("time", "beats", "beat-type", "senza-misura", "transpose", "chromatic", "diatonic", "octave-change", "staves"),
    *("measure", "part", "part-list", "score-part", "part-name", "score-partwise", "score-timewise", "backup"),
    *("forward", "barline", "repeat", "ending", "segno", "coda", "lyric", "text", "print", "measure-style"),
    *("measure-repeat", "multiple-rest", "slash", "octave-shift", "wavy-line", "unpitched", "time-modification"),
    *("actual-notes", "normal-notes", "fermata", "offset", "staff", "credit", "credit-words", "work-title"),
)  # fmt: skip
PIECES = (
    *(b"<chord/>", b"<grace/>", b"<cue/>", b'<tie type="stop"/>', b'<tie type="start"/>', b"<rest/>", b"<dot/>"),
    b"<backup><duration>999</duration></backup>",
    b"<forward><duration>3</duration></forward>",
    b'<barline><repeat direction="backward" times="9"/></barline>',
    b'<barline><repeat direction="forward"/></barline>',
    b'<barline><ending number="1,2" type="start"/></barline>',
    b'<sound dacapo="yes"/>',
    b'<sound segno="a"/><sound dalsegno="a"/>',
    b'<sound tempo="0.001"/>',
    b'<sound fine="yes"/><sound tocoda="x"/><sound coda="x"/>',
    b"<attributes><divisions>0</divisions></attributes>",
    b"<attributes><key><fifths>-40</fifths></key></attributes>",
    b"<attributes><time><beats>3+2</beats><beat-type>7</beat-type></time></attributes>",
    b"<attributes><time><senza-misura/></time></attributes>",
    b"<attributes><transpose><chromatic>-999</chromatic></transpose></attributes>",
    b'<notations><ornaments><trill-mark/><wavy-line type="start"/><accidental-mark>flat-flat</accidental-mark>'
    b"</ornaments></notations>",
    b'<notations><ornaments><tremolo type="start">3</tremolo></ornaments><slur type="stop"/></notations>',
    b"<notations><technical><fingering>T 1 3 | 2 Eb</fingering></technical></notations>",
    b'<lyric name="grip"><text>T | Eb tr Kd</text></lyric>',
    b'<direction><direction-type><octave-shift type="up" size="15"/></direction-type></direction>',
    b"<direction><direction-type><words>Tempo I. hold simile Presto</words></direction-type></direction>",
    b"<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit></metronome>"
    b"</direction-type></direction>",
    b'<measure number="X1"/>',
    b"<note/>",
)  # fmt: skip
TAG = re.compile(rb"<[^<>]*>")
ATTRIBUTE = re.compile(rb'\s[\w:-]+="[^"]*"')
ELEMENT = re.compile(rb"<([\w-]+)[^<>]*>[^<>]*</\1>|<[\w-]+[^<>]*/>")

CODECS = (
    *("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-7", "latin-1", "cp1252", "cp437"),
    *("koi8-r", "mac-roman", "shift_jis", "euc-jp", "gb18030", "big5", "cp037", "iso2022_jp", "ascii"),
)  # fmt: skip
DECLARED = (
    *CODECS,
    "idna",
    "punycode",
    "unicode_escape",
    "rot13",
    "base64",
    "zip",
    "UCS-4",
    "x",
    "",
    "é",
    "utf_8;",
)
METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA)


def damaged_tags(data: bytes, chance: random.Random) -> bytes:
    """Tags renamed or lost, attributes changed, elements lost, doubled, moved, put in or nested."""
    for _ in range(few(chance, 6)):
        tags, elements = list(TAG.finditer(data)), list(ELEMENT.finditer(data))
        if not tags or not elements:
            return data
        tag, element, other = chance.choice(tags), chance.choice(elements), chance.choice(elements)
        start, end = element.span()
        match chance.randrange(9):
            case 0:
                data = data[: tag.start()] + data[tag.end() :]
            case 1:
                name = chance.choice(NAMES).encode()
                renamed = element[0].replace(element[1] or b"\1", name) if element[1] else b"<%s/>" % name
                data = data[:start] + renamed + data[end:]
            case 2:
                data = data[:start] + data[end:]
            case 3:
                data = data[:end] + element[0] * chance.choice((1, 1, 2, 300)) + data[end:]
            case 4:
                data = data[: other.start()] + element[0] + data[other.end() :]
            case 5 | 6:
                data = data[:start] + chance.choice(PIECES) + data[start:]
            case 7:
                deep = b"<x>" * chance.choice((1, 5, 80, 5000))
                data = data[:start] + deep + element[0] + deep.replace(b"<x>", b"</x>") + data[end:]
            case _:
                found = list(ATTRIBUTE.finditer(data))
                if found:
                    attribute = chance.choice(found)
                    name = attribute[0].partition(b"=")[0]
                    value = chance.choice(
                        (b"", b"yes", b"-1", b"stop", b"backward", b"0", b"&lt;", b"9" * 30)
                    )
                    changed = chance.choice((b"", name + b'="' + value + b'"', attribute[0] * 2))
                    data = data[: attribute.start()] + changed + data[attribute.end() :]
    return data


def recoded(data: bytes, chance: random.Random) -> bytes:
    """A score in one encoding that declares, or marks, the same or another."""
    text = data.decode("utf-8", "replace").partition("?>")[2]
    codec = chance.choice(CODECS) if chance.random() < 0.7 else chance.choice(("utf-16", "latin-1", "utf-8"))
    declared = codec if chance.random() < 0.7 else chance.choice(DECLARED)
    head = f'<?xml version="{chance.choice(("1.0", "1.0", "1.1", "2"))}" encoding="{declared}"?>'
    head = head if chance.random() < 0.9 else ""
    mark = chance.choice((*[b""] * 9, b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff", b"\xff\xfe\0\0"))
    said = text.replace("Flute", chance.choice(("Flöte", "Фл", "笛", "\U0001d11e", "Flute")), 1)
    return mark + (head + said).encode(codec, "xmlcharrefreplace")


def packed(data: bytes, chance: random.Random) -> bytes:
    """A compressed score that is whole, or damaged in its container, members or bytes."""
    target = io.BytesIO()
    path = chance.choice(
        (*["score.xml"] * 9, "a/b.xml", "../s.xml", "/s.xml", "", "x" * 200, "é.xml", "META-INF")
    )
    container = (
        f'<?xml version="1.0"?><container><rootfiles><rootfile full-path="{path}"/></rootfiles></container>'
    ).encode()
    if chance.random() < 0.2:
        container = damaged(container, chance, damaged_bytes, damaged_tags)
    with warnings.catch_warnings(action="ignore"), zipfile.ZipFile(target, "w") as archive:
        members = [("META-INF/container.xml", container), (path or "x", data)]
        members += [
            (f"{n}.png", chance.randbytes(50)) for n in range(chance.choice((*[0] * 90, *[1] * 90, 1200)))
        ]
        if chance.random() < 0.05:
            members.append(chance.choice(members))
        for name, content in members if chance.random() < 0.9 else members[::-1]:
            archive.writestr(zipfile.ZipInfo(name), content, compress_type=chance.choice(METHODS))
    whole = target.getvalue()
    return whole if chance.random() < 0.5 else _hurt(whole, chance)


def _hurt(data: bytes, chance: random.Random) -> bytes:
    """Some bytes of an archive changed, most of them where it says what is in it."""
    hurt = bytearray(data)
    for _ in range(few(chance, 5)):
        near_end = len(hurt) - 1 - chance.randrange(min(len(hurt), 250))
        hurt[chance.choice((near_end, chance.randrange(len(hurt))))] = chance.choice(
            (0, 1, 255, chance.randrange(256))
        )
    return bytes(hurt[: chance.randrange(len(hurt))] if chance.random() < 0.1 else hurt)


def _case(data: bytes, chance: random.Random) -> Case:
    form = chance.choice(("json",) * 12 + ("musicxml",) * 5 + ("csv", "critical", "text"))
    if chance.random() < 0.01:
        form = "html"
    if chance.random() < 0.05:
        return Case(("consistency", "-"), data)
    if chance.random() < 0.02:
        return Case(("practise", "-", "--cells", "1", "--format", "json"), data, form="json")
    more = (
        ()
        if chance.random() < 0.8
        else chance.choice((("--bars", "1-2"), ("--keep-fingerings",), ("--part", "all")))
    )
    if form in ("json", "csv", "html") and "--part" in more:
        more = ()
    return Case(("finger", "-", "--format", form, *more), data, form=form)


def _section(name: str, *ways: object) -> Section:
    def make(chance: random.Random) -> Case:
        return _case(damaged(seed(chance), chance, *ways), chance)  # type: ignore[arg-type]

    return Section(name, make)


def _zip(chance: random.Random) -> Case:
    data = seed(chance)
    if chance.random() < 0.3:
        data = damaged(data, chance, damaged_tags, damaged_numbers, recoded)
    return _case(packed(data, chance), chance)


SCORES = (
    _section("scores, bytes", damaged_bytes, damaged_lines),
    _section("scores, tags", damaged_tags),
    _section("scores, numbers", damaged_numbers, damaged_tags),
    _section("scores, encodings", recoded),
    Section("scores, zips", _zip),
)  # fmt: skip
