"""Ways to damage bytes and texts, each by a seeded chance: so many times, at any place."""

import random
import re
from collections.abc import Callable

STRANGE_NUMBERS = (
    *(
        "-1",
        "0",
        "-0",
        "0.5",
        "1e9",
        "1e308",
        "1e-300",
        "1e99999999",
        "nan",
        "inf",
        "-inf",
        "Infinity",
        "NaN",
    ),
    *(
        "128",
        "65536",
        "2147483648",
        "-2147483649",
        "99999999999",
        "18446744073709551616",
        "9" * 400,
        "9" * 5000,
    ),
    *(
        "1/0",
        "1/3",
        "0x10",
        "0b1",
        "1_000",
        "+-1",
        "--1",
        "1,5",
        "1 2",
        " 7 ",
        "",
        "x",
        "²",
        "٣",
        "１",
        "½",
        "0.000",
    ),
)
"""Numbers that are out of bounds, none at all, or only look like one."""

TOKENS = (
    *(b"\0", b"&", b"<", b">", b"]]>", b"<!--", b"-->", b"<![CDATA[", b"&#0;", b"&#xFFFFFF;", b"&x;", b'"', b"'"),
    *(b"\xff\xfe", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\xc0\x80", b"\xf4\x90\x80\x80", b"\r", b"\n", b"\t", b"\x1b[2J"),
    *("\u2028".encode(), "\u202e".encode(), "\ufeff".encode(), "♯".encode(), "♭".encode(), "𝄪".encode(), b"=", b"[", b"{"),
    *(b"<?xml?>", b"<?php ?>", b"<!DOCTYPE x>", b"%s%n", b"../", b"\\", b"{}", b"|", b"#", b"(", b")", b":", b"/"),
)  # fmt: skip
"""Bytes that mean something to one reader or another."""

NUMBER = re.compile(rb"-?[0-9]+(?:\.[0-9]+)?")


def few(chance: random.Random, most: int) -> int:
    """One more often than two, two more often than three: gentle damage gets further into the tool."""
    return min(most, 1 + int(chance.expovariate(0.9)))


def damaged_bytes(data: bytes, chance: random.Random) -> bytes:
    """Bytes flipped, lost, doubled, put in or cut off, up to eight times."""
    for _ in range(few(chance, 8)):
        at = chance.randrange(len(data) + 1)
        to = min(len(data), at + chance.choice((1, 1, 1, 2, 8, 64, 500)))
        match chance.randrange(8):
            case 0:
                data = data[:at] + chance.randbytes(1) + data[at + 1 :]
            case 1:
                data = data[:at] + data[to:]
            case 2:
                data = data[:to] + data[at:]
            case 3 | 4:
                data = data[:at] + chance.choice(TOKENS) + data[at:]
            case 5:
                data = data[:at] + chance.randbytes(chance.randrange(20)) + data[at:]
            case 6:
                other = chance.randrange(len(data) + 1)
                data = data[:other] + data[at:to] + data[other:]
            case _:
                data = data[:at] if chance.random() < 0.2 else data
    return data


def damaged_numbers(data: bytes, chance: random.Random) -> bytes:
    """Numbers replaced by strange ones, up to four times."""
    for _ in range(few(chance, 4)):
        found = list(NUMBER.finditer(data))
        if not found:
            return data
        number = chance.choice(found)
        data = data[: number.start()] + chance.choice(STRANGE_NUMBERS).encode() + data[number.end() :]
    return data


def damaged_lines(data: bytes, chance: random.Random) -> bytes:
    """Lines lost, doubled, moved or joined, up to six times."""
    lines = data.splitlines(keepends=True)
    for _ in range(few(chance, 6)):
        if not lines:
            break
        at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        match chance.randrange(4):
            case 0:
                del lines[at]
            case 1:
                lines.insert(other, lines[at])
            case 2:
                lines[at], lines[other] = lines[other], lines[at]
            case _:
                lines[at] = lines[at].rstrip()
    return b"".join(lines)


Damage = Callable[[bytes, random.Random], bytes]


def damaged(data: bytes, chance: random.Random, *ways: Damage) -> bytes:
    """Damage by one of the ways, or by two of them after one another."""
    for way in chance.sample(ways, k=1 if chance.random() < 0.7 else min(2, len(ways))):
        data = way(data, chance)
    return data
