"""Tempo words: the table against an independent list."""

from music21.tempo import defaultTempoValues

from gripway.catalog.tables.tempo_words import tempo_words


def test_the_words_are_about_as_fast_as_music21_has_them() -> None:
    """Every word both know is within a tenth of music21's figure (music21.tempo.defaultTempoValues)."""
    shared = set(tempo_words()) & set(defaultTempoValues)
    assert len(shared) > 15
    for word in shared:
        assert abs(tempo_words()[word] / defaultTempoValues[word] - 1) < 0.1, word


def test_words_are_in_lower_case_and_playable() -> None:
    """Keys are looked up in lower case; beats lie between 20 and 240 a minute."""
    assert all(word == word.lower() for word in tempo_words())
    assert all(20 <= beats <= 240 for beats in tempo_words().values())


def test_slower_words_are_slower() -> None:
    """The usual order of the Italian words holds (common practice, no source)."""
    order = ["grave", "largo", "adagio", "andante", "moderato", "allegretto", "allegro", "vivace", "presto"]
    beats = [tempo_words()[word] for word in order]
    assert beats == sorted(beats)
