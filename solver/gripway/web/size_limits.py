"""How much the page may ask for: sizes, counts, times."""

MOST_SCORE_BYTES = 8 * 1024 * 1024
"""Largest score the page takes (judgement: a long flute part has half of one)."""

MOST_OPEN_BYTES = MOST_SCORE_BYTES * 4 // 3 + 2 * 1024 * 1024
"""Largest body that opens something: a score as base64, and the undo list of a session."""

MOST_BODY_BYTES = 256 * 1024
"""Largest body of every other request."""

MOST_TAKE_SECONDS = 10.0
"""Longest take from a microphone; two seconds are asked for (judgement)."""

MOST_SOUND_BYTES = 4 * 1024 * 1024
"""Largest body that carries sound: ten seconds at 96 kHz and 16 bits as base64 have 2.6 MB."""

MOST_NOTES = 5_000
"""Most notes as played of one request; more are asked for by bars."""

MOST_NOTE_TEXT = 100_000
"""Longest line of notes, in characters."""

MOST_WORKS = 16
"""Scores held at a time; the idle one unused for longest goes, and the page opens it again by itself."""

MOST_HELD_NOTES = 15_000
"""Notes of all scores held, of each those of its longest choice; idle ones go until no more are held."""

MOST_PASSAGES = 12
"""Choices of part, bars, tempo and flute kept for one score."""

MOST_SECONDS = 60.0
"""Longest a request may work (judgement: the longest passage at its first reading takes a tenth)."""

LIMIT_SECONDS = 6.0
"""Time for the search under limits over the whole passage; it cannot be stopped half-way."""

MOST_LEARN = 99
"""Most grips to learn that can be asked for (judgement: more than any part needs)."""

MOST_LIMITS = 20
MOST_PINS = 2_000
MOST_BANS = 200
MOST_READINGS = 500
MOST_STEPS = 200
"""Pins, bans, readings of a tuner and steps back that one request or session may carry."""
