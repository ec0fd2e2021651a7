"""Words over the staff that say how to play, such as espressivo, dolce or cresc.: kept as written."""

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction

from gripway.model.passage import Note
from gripway.score.xml.xml_tree import Element

COURSE, PACE, TOUCH, CHARACTER, TEMPO = "course", "pace", "touch", "character", "tempo"
"""What a word is about: growing or fading on the way; going slower or faster on the way; how to touch, or
the character of what follows, up to the next section; or a new tempo, which ends both."""

QUICKENED = ("accel", "string", "affrett", "press")
"""Beginnings of words that go faster on the way."""

STEMS = {
    COURSE: ("cresc", "dim", "decresc", "smorz", "morend", "perd", "caland", "rinf"),
    PACE: ("rit", "rall", "allarg", "ralent", "slarg", "céd", "cede", "retenez", "retenu", *QUICKENED),
    TOUCH: (
        *("espress", "express", "dolc", "doux", "leggier", "léger", "cantab", "cantando", "chant", "legat"),
        *("stacc", "marc", "sosten", "soutenu", "semplic", "tener", "tendr", "mezza", "sotto", "delic"),
        *("flatt", "frull", "dehors", "tenut", "lointain", "clair"),
    ),
    CHARACTER: (
        *(
            "pesant",
            "grazi",
            "gracieu",
            "scherz",
            "appass",
            "passion",
            "brill",
            "energic",
            "giocos",
            "lusing",
            "agitat",
        ),
        *("misterios", "calm", "maestos", "amoros", "affettuos", "dolent", "mesto", "anim", "gai", "décid"),
        *("decis", "risol", "tranq", "myst", "soupl", "serr", "aise", "rubat", "ryth"),
    ),
    TEMPO: (
        *("tempo", "allegr", "andant", "adag", "larg", "lent", "presto", "prestissim", "viv", "vif"),
        *("moder", "grave", "mosso"),
    ),
}
"""Beginnings of such words, in the languages scores have them in (common practice, no source)."""

LEADS = (
    *("sempre", "molto", "poco", "più", "piu", "meno", "assai", "un", "toujours", "très", "plus", "a", "e"),
    *("assez", "peu", "subito", "quasi", "ben", "al", "in", "mais", "ma", "en", "à", "l", "bien"),
)
"""Words that lead one of them; alone they say nothing."""

COMPARED = ("più", "piu", "meno", "plus", "moins")
"""Words with which a tempo is another than before: it is kept as well, as it names no tempo of its own."""

LESS, SLOW_TEMPOS = ("meno", "moins"), ("adag", "andant", "larg", "lent", "moder", "grave")
"""Of those what is less than before, and beginnings of tempos of which more is not faster."""

VERY_SLOW = ("adag", "larg", "lent", "grave")
"""Of the slow ones those of which more is slower: a Più andante goes on, or back (common practice)."""

SLOWER_CHARACTER, FASTER_CHARACTER = ("tranq", "calm"), ("anim", "agitat", "serr")
PACED = (*SLOWER_CHARACTER, *FASTER_CHARACTER)
"""Beginnings of words of character that are slower or faster than what was before."""

SLOWER, FASTER, A_LITTLE = 0.85, 1.1, ("poco", "peu")
"""How fast such music is against what was before (judgement); a little so is half of the way."""

FADING = ("caland", "smorz", "morend")
"""Beginnings of words that slow down as they fade."""

NO_PACE = ("ritm", "strings")
"""Beginnings of words that only look like some of pace."""

WITH = ("con", "senza", "avec", "sans")
"""Words that begin one by themselves, as in con fuoco."""

PRINTED_TEMPO = "tempo"
"""A tempo and its like are kept as well; words such as Allegro are read as tempos."""

BRACKETS = "[]() "
_WORD = re.compile(r"[^\W\d_]+")


def expression_of(text: str) -> str:
    """A direction that says how to play, on one line; empty for any other.

    >>> expression_of(" molto espressivo "), expression_of("cresc."), expression_of("a 2")
    ('molto espressivo', 'cresc.', '')
    >>> expression_of("Più mosso"), expression_of("Allegro"), expression_of("a tempo [Adagio]")
    ('Più mosso', '', 'a tempo [Adagio]')
    """
    kind = kind_of(text)
    told = kind and (kind != TEMPO or PRINTED_TEMPO in text.lower() or _is_compared(text))
    return _without_brackets(" ".join(text.split())) if told else ""


def _without_brackets(text: str) -> str:
    """A text without the brackets around it; those within it stay."""
    plain = text.strip(BRACKETS)
    for opening, closing in ("[]", "()"):
        if plain.count(opening) > plain.count(closing):
            plain += closing
    return plain


def kind_of(text: str) -> str:
    """What a direction is about; empty where it does not say how to play.

    >>> kind_of("poco cresc."), kind_of("dolce"), kind_of("sans presser"), kind_of("Allegro")
    ('course', 'touch', 'character', 'tempo')
    """
    meant = [word for word in _WORD.findall(text.lower()) if word not in LEADS]
    if not meant:
        return ""
    if meant[0] in WITH and meant[1:]:
        return CHARACTER
    return next((kind for kind, stems in STEMS.items() if meant[0].startswith(stems)), "")


def _is_compared(text: str) -> bool:
    return any(word in COMPARED for word in _WORD.findall(text.lower()))


def is_gradual(text: str) -> bool:
    """Whether a direction has the tempo go slower or faster on the way.

    >>> is_gradual("poco rit."), is_gradual("Poco allegro, stringendo il tempo"), is_gradual("Ritmo di due")
    (True, True, False)
    """
    words = _WORD.findall(text.lower())
    if words[:1] and words[0] in WITH:
        return False
    return any(word.startswith((*STEMS[PACE], *FADING)) and not word.startswith(NO_PACE) for word in words)


def is_faster(text: str) -> bool:
    """Whether a direction has the tempo go faster on the way.

    >>> is_faster("poco a poco accel."), is_faster("poco rit."), is_faster("sans presser")
    (True, False, False)
    """
    return is_gradual(text) and any(word.startswith(QUICKENED) for word in _WORD.findall(text.lower()))


def courses_of(note: Note) -> list[tuple[Fraction, str]]:
    """The words of growing or fading at a note, or under it, with their time from its onset on."""
    said = (*((Fraction(0), word) for word in note.words), *note.during)
    return [(at, word) for at, word in said if kind_of(word) == COURSE]


def is_growing(text: str) -> bool:
    """Whether a direction of growing or fading has the music grow.

    >>> is_growing("poco a poco cresc."), is_growing("decresc.")
    (True, False)
    """
    told = text.lower().replace("decresc", "")
    return "cresc" in told or "rinf" in told


def is_quicker(text: str) -> bool:
    """Whether a direction makes the tempo a faster one from there on, and names none.

    >>> is_quicker("Più Allegro"), is_quicker("più mosso"), is_quicker("più lento")
    (True, True, False)
    """
    words = _WORD.findall(text.lower())
    slow = any(word.startswith(SLOW_TEMPOS) for word in words)
    more = any(word in COMPARED and word not in LESS for word in words)
    return kind_of(text) == TEMPO and is_another_tempo(text) and more and not slow


def is_slower(text: str) -> bool:
    """Whether a direction makes the tempo a slower one from there on, and names none.

    >>> is_slower("meno mosso"), is_slower("più lento"), is_slower("Più andante"), is_slower("meno adagio")
    (True, True, False, False)
    """
    words = _WORD.findall(text.lower())
    slow = any(word.startswith(SLOW_TEMPOS) for word in words)
    less = any(word in LESS for word in words)
    very = any(word.startswith(VERY_SLOW) for word in words)
    return kind_of(text) == TEMPO and is_another_tempo(text) and ((very and not less) if slow else less)


def is_another_tempo(text: str) -> bool:
    """Whether a direction makes the tempo another one from there on, and names none.

    >>> is_another_tempo("Sempre più tranquillo"), is_another_tempo("meno mosso")
    (True, True)
    >>> is_another_tempo("a tempo"), is_another_tempo("grazioso"), is_another_tempo("Allegro")
    (False, False, False)
    """
    if kind_of(text) == TEMPO:
        return _is_compared(text) and PRINTED_TEMPO not in text.lower()
    return any(word.startswith(PACED) for word in _WORD.findall(text.lower()))


def pace_against(text: str) -> float | None:
    """How fast a direction of character, or of more or less tempo, has the music against what was before.

    None for any other.

    >>> pace_against("tranquillo"), pace_against("Poco più tranquillo."), pace_against("Animato")
    (0.85, 0.925, 1.1)
    >>> pace_against("Più Allegro"), pace_against("meno mosso"), pace_against("Più andante")
    (1.1, 0.85, None)
    >>> pace_against("Allegro animato"), pace_against("dolce")
    (None, None)
    """
    words = _WORD.findall(text.lower())
    if is_quicker(text):
        share = FASTER
    elif is_slower(text):
        share = SLOWER
    elif kind_of(text) == CHARACTER and any(word.startswith(PACED) for word in words):
        share = SLOWER if any(word.startswith(SLOWER_CHARACTER) for word in words) else FASTER
    else:
        return None
    return (1 + share) / 2 if any(word in A_LITTLE for word in words) else share


def words_in(direction: Element) -> Iterator[str]:
    """The texts of a direction."""
    return (kind.text for kind in direction.inside("direction-type") if kind.name == "words")


def _said_in(direction: Element) -> Iterator[str]:
    """The texts of a direction, and those beside a dynamic mark (`p dolce` as one mark)."""
    yield from words_in(direction)
    for kind in direction.inside("direction-type"):
        if kind.name == "dynamics":
            yield from (mark.text for mark in kind.children if mark.name == "other-dynamics")


class WordLine:
    """The words of a part as they come: those that wait for their note, and those that hold."""

    def __init__(self) -> None:
        self.waiting: list[tuple[int, str]] = []
        self.holding: tuple[str, ...] = ()
        self._place: tuple[int, Fraction] | None = None
        self._part: tuple[tuple[int, Fraction], str] | None = None

    def meet(self, direction: Element, place: tuple[int, Fraction], *, level: bool) -> None:
        """Hear a direction at a place (bar, time in it); `level` says that it has a dynamic that holds.

        A word of character or tempo takes the place of all that came before it and has met no note; beside
        another at the same place it joins it. A word in two directions is one (mar, c.). What holds ends at a
        dynamic, at a rehearsal mark and at words of another kind, such as the number of a variation.
        """
        if (level or _is_heading(direction)) and place != self._place:
            self.end()
        for text in self._joined(place, _said_in(direction)):
            kind = kind_of(text)
            said = expression_of(text)
            if kind and kind not in (COURSE, PACE):
                if place != self._place:
                    self.holding = ()
                    if kind != TOUCH:
                        self.waiting.clear()
                self._place = place
                self.holding += (said,) * (kind != TEMPO)
            if said:
                self.waiting.append((place[0], said))

    def _joined(self, place: tuple[int, Fraction], texts: Iterable[str]) -> Iterator[str]:
        """Texts, one that says nothing joined to another at the same place where both are one word."""
        for text in texts:
            said = text
            if not kind_of(text) and len(text.split()) == 1:
                if self._part and self._part[0] == place:
                    both = (self._part[1] + text, text + self._part[1])
                    said = next((word for word in both if kind_of(word)), text)
                self._part = (place, text)
            yield said

    def end(self) -> None:
        """No word of before holds from here on, as at a double bar."""
        self.holding = ()

    def rest(self, bar: int) -> None:
        """The part was silent up to a bar: what was said before holds no longer."""
        if self._place is not None and self._place[0] <= bar:
            self.end()


def _is_heading(direction: Element) -> bool:
    """Whether a direction has a rehearsal mark, or words that do not say how to play."""
    said = (text for text in words_in(direction) if _WORD.search(text))
    marks = any(kind.name == "rehearsal" for kind in direction.inside("direction-type"))
    return marks or any(not kind_of(text) for text in said)


def words_at(waited: Iterable[tuple[int, str]], bar: int) -> tuple[str, ...]:
    """Words that have waited for a note of a bar (index): those of bars before stand in brackets."""
    return tuple(dict.fromkeys(text if there == bar else f"[{text}]" for there, text in waited))
