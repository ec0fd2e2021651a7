"""Names of pitches that are not read, German ones and those of solfege, and what they are in English.

They are told and not read: B is another pitch in German, and the octaves of solfege are counted from
different numbers in different countries.
"""

import re

GERMAN_LETTERS = {"H": "B", **{letter: letter for letter in "CDEFGAB"}}
GERMAN_ENDINGS = {
    "": "",
    "is": "#",
    "isis": "##",
    "es": "b",
    "eses": "bb",
    "s": "b",
    "ses": "bb",
    "sas": "bb",
    "#": "#",
    "##": "##",
    "b": "b",
    "bb": "bb",
}
"""German endings of a name, of which Es, As and their doubles are short forms, and English signs."""

ENGLISH_SIGNS = ("", "#", "##", "b", "bb")

SYLLABLES = {
    "do": "C",
    "re": "D",
    "mi": "E",
    "fa": "F",
    "sol": "G",
    "so": "G",
    "la": "A",
    "si": "B",
    "ti": "B",
}
SYLLABLE_SIGNS = {
    "": "",
    "#": "#",
    "b": "b",
    "##": "##",
    "bb": "bb",
    "x": "##",
    "diese": "#",
    "bemol": "b",
    "diesis": "#",
    "bemolle": "b",
    "sostenido": "#",
}

_GERMAN = re.compile(r"([a-hA-H])([a-z#]*)(-?[0-9]|[',]*)")
_SYLLABLE = re.compile(r"(do|re|mi|fa|sol|la|si|ti)[ _-]?([a-z#]*) ?-?[0-9]?", re.IGNORECASE)
_PLAIN = str.maketrans({"♯": "#", "♭": "b", "’": "'", "′": "'", "é": "e", "è": "e"})
SMALL_OCTAVE, GREAT_OCTAVE = 3, 2
"""Octaves of c and of C in Helmholtz's naming; c' is middle C, C4 (H. Helmholtz, Tonempfindungen, 1863)."""


def english_name(text: str) -> str:
    """The English name of a German or a Helmholtz one, or what a syllable of solfege is; empty for others.

    >>> english_name("Fis6"), english_name("h''"), english_name("sol dièse 5")
    ('F#6', 'B5', 'G# and its octave (C4 is middle C)')
    """
    plain = text.strip().translate(_PLAIN)
    if found := _SYLLABLE.fullmatch(plain):
        sign = SYLLABLE_SIGNS.get(found[2].lower())
        return "" if sign is None else f"{SYLLABLES[found[1].lower()]}{sign} and its octave (C4 is middle C)"
    found = _GERMAN.fullmatch(plain)
    if found is None:
        return ""
    letter, ending, octave = found[1].upper(), found[2], found[3]
    short = ending.startswith("s") and letter in "EA"
    if ending not in GERMAN_ENDINGS or (ending.startswith("s") and not short):
        return ""
    name = GERMAN_LETTERS[letter] + GERMAN_ENDINGS[ending]
    if octave.lstrip("-").isdigit():
        return f"{name}{octave}"
    if not octave and letter != "H" and ending in ENGLISH_SIGNS:
        return ""  # an English name that lacks its octave
    if not octave and (ending or found[1].isupper()):
        return f"{name} and its octave (C4 is middle C)"
    low = found[1].isupper() and "'" not in octave
    number = (GREAT_OCTAVE if low else SMALL_OCTAVE) + octave.count("'") - octave.count(",")
    return f"{name}{number}" if name != "B" or letter == "H" else f"B{number}, or Bb{number} for a German b"
