"""Tempo marks and the milliseconds they make."""

import pytest
from tests.score.small_scores import bar, direction, note, read, remarks, score, scores, tempo

from gripway.errors import RequestError
from gripway.model.passage import is_about
from gripway.score.reading.read_options import ReadOptions

WORDS = {"allegro": 132.0, "allegro molto": 146.0, "andante": 74.0}


def quarter_ms(*contents: str, **options: object) -> list[int]:
    """Lengths in ms of the notes of one bar."""
    return [round(n.length_ms) for n in read(score(bar("".join(contents))), **options).passage.notes]


def metronome(inner: str) -> str:
    """A metronome mark."""
    return direction(f"<metronome>{inner}</metronome>")


def worded(words: str, quarters: float) -> str:
    """A tempo word with the tempo that the file sounds."""
    said = f"<direction-type><words>{words}</words></direction-type>"
    return f"<direction>{said}{tempo(quarters)}</direction>"


def test_a_sound_tempo_is_quarters_a_minute() -> None:
    """W3C MusicXML: sound tempo is in quarter notes a minute; 120 makes 500 ms."""
    assert quarter_ms(tempo(120), note("C5")) == [500]


@pytest.mark.parametrize(
    ("inner", "quarter"),
    [
        ("<beat-unit>quarter</beat-unit><per-minute>60</per-minute>", 1000),
        ("<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute>", 667),
        ("<beat-unit>half</beat-unit><per-minute>60</per-minute>", 500),
        ("<beat-unit>half</beat-unit><beat-unit-dot/><beat-unit-dot/><per-minute>60</per-minute>", 286),
        ("<beat-unit>eighth</beat-unit><per-minute>c. 120-126</per-minute>", 1000),
    ],
)
def test_metronome_marks_count_in_their_beat_unit(inner: str, quarter: int) -> None:
    """Dots lengthen the unit by a half and a quarter; the first number of a range counts."""
    assert quarter_ms(metronome(inner), note("C5")) == [quarter]


def test_a_note_equal_to_a_note_changes_the_tempo() -> None:
    """Quarter = dotted quarter: the dotted quarter now lasts as long as the quarter did."""
    equal = "<beat-unit>quarter</beat-unit><beat-unit>quarter</beat-unit><beat-unit-dot/>"
    assert quarter_ms(tempo(60), note("C5"), metronome(equal), note("D5", 6)) == [1000, 1000]


def test_the_sound_wins_over_the_printed_mark() -> None:
    """Where both stand in one direction, playback is the surer."""
    printed = "<metronome><beat-unit>quarter</beat-unit><per-minute>60</per-minute></metronome>"
    assert quarter_ms(direction(printed, sound=tempo(120)), note("C5")) == [500]


def test_a_tempo_change_counts_from_its_place() -> None:
    """Half of a note under 60 and half under 120 lasts 750 ms."""
    change = direction("<words>x</words>", sound=tempo(120), offset='<offset sound="yes">-2</offset>')
    assert quarter_ms(tempo(60), note("C5"), change, note("D5")) == [750, 500]


def test_words_give_a_tempo_by_their_longest_match() -> None:
    """Allegro molto is not read as allegro, and the remark names the words."""
    data = score(bar(direction("<words>Allegro molto e deciso</words>") + note("C5")))
    assert read(data, tempo_words=WORDS).passage.notes[0].length_ms == pytest.approx(60_000 / 146)
    assert "taken from 'Allegro molto e deciso'" in remarks(data, tempo_words=WORDS)


def test_a_longer_phrase_is_found_inside_another() -> None:
    """Phrases that share a word are both found, and the longer one counts; a word inside a word is none."""
    words = {"andante": 74.0, "piu andante": 80.0, "andante grazioso": 70.0, "an": 200.0}
    data = score(bar(direction("<words>piu andante grazioso</words>") + note("C5")))
    assert read(data, tempo_words=words).passage.notes[0].length_ms == pytest.approx(60_000 / 70)


def test_a_tempo_is_looked_for_at_the_beginning_of_a_long_text() -> None:
    """A page of prose is no tempo mark: its first thousand signs are looked at."""
    for blanks, tempo_of_it in ((900, 132.0), (1100, 96.0)):
        text = "x" * blanks + " Allegro"
        data = score(bar(direction(f"<words>{text}</words>") + note("C5")))
        length_ms = read(data, tempo_words=WORDS).passage.notes[0].length_ms
        assert length_ms == pytest.approx(60_000 / tempo_of_it)


@pytest.mark.parametrize(("beats", "kind", "factor"), [("6", "8", 1.5), ("2", "2", 2.0), ("3", "8", 1.0)])
def test_words_count_beats_of_the_metre(beats: str, kind: str, factor: float) -> None:
    """In 6/8 the beat is a dotted quarter, in 2/2 a half (common practice, no source)."""
    metre = f"<time><beats>{beats}</beats><beat-type>{kind}</beat-type></time>"
    data = score(bar(direction("<words>Andante</words>") + note("C5"), attributes=metre))
    assert read(data, tempo_words=WORDS).passage.notes[0].length_ms == pytest.approx(60_000 / 74 / factor)


def test_tempo_primo_goes_back_to_the_first_tempo() -> None:
    """After a change, Tempo I is the first number again."""
    first = direction("<words>Tempo I.</words>")
    assert quarter_ms(tempo(60), note("C5"), tempo(120), note("D5"), first, note("E5")) == [1000, 500, 1000]


def test_no_tempo_is_96_and_said() -> None:
    """The assumption is a remark."""
    data = score(bar(note("C5")))
    assert read(data).passage.notes[0].length_ms == 625
    assert "no tempo mark: 96 quarters a minute assumed" in remarks(data)


def test_a_late_first_mark_counts_from_the_beginning() -> None:
    """The bars before the only mark are not played at a guess, and this is said."""
    assert quarter_ms(note("C5"), tempo(120), note("D5")) == [500, 500]
    assert "counts from the beginning" in remarks(score(bar(note("C5") + tempo(120) + note("D5"))))


def test_a_tempo_asked_for_replaces_every_mark() -> None:
    """The score's 60 is not heard, nor is there a remark on tempo."""
    assert quarter_ms(tempo(60), note("C5"), tempo=240.0) == [250]


def test_a_tempo_asked_for_is_that_of_most_notes() -> None:
    """Two notes at 120, one at a printed 60: asked for at 240 they are at 240 and 120.

    One with a printed number comes before more notes without; what the file only sounds (a slower last
    note) and a rit. do not count.
    """
    begin = (worded("Allegro", 120), note("C5"), note("D5"))
    assert quarter_ms(*begin, worded("Tranquillo", 96), note("E5"), tempo=240.0) == [250, 250, 312]
    numbered = metronome("<beat-unit>quarter</beat-unit><per-minute>60</per-minute>")
    assert quarter_ms(*begin, numbered, note("E5"), tempo=240.0) == [125, 125, 250]
    for other in (tempo(90), worded("rit.", 90)):
        assert quarter_ms(*begin, other, note("E5"), tempo=240.0) == [250, 250, 250]


def test_a_mark_that_is_nearly_the_same_has_the_tempo_asked_for() -> None:
    """Of 120, 117 and 110 the second is no other tempo to whoever asks for 240; the third is 220."""
    quarter = "<beat-unit>quarter</beat-unit><per-minute>{}</per-minute>"
    music = (
        metronome(quarter.format(120)),
        note("C5"),
        note("D5"),
        metronome(quarter.format(117)),
        note("E5"),
    )
    slower = (metronome(quarter.format(110)), note("F5"))
    assert quarter_ms(*music, *slower, tempo=240.0) == [250, 250, 250, 273]
    assert quarter_ms(*music) == [500, 500, 513]


def test_marks_of_another_part_count() -> None:
    """Tempo is often written in the top part only."""
    data = scores(("Oboe", (bar(tempo(120) + note("C5")),)), ("Flute", (bar(note("D5")),)))
    assert read(data).passage.notes[0].length_ms == 500


def test_absurd_tempos_are_passed_over() -> None:
    """A playback tempo of 0 is a slip of the file."""
    assert quarter_ms(tempo(0), note("C5")) == [625]


def _headed(heading: str, content: str = "") -> bytes:
    """A score of one bar with something in its header."""
    plain = score(bar(content + note("C5")))
    return plain.replace(b"<part-list>", f"{heading}<part-list>".encode())


@pytest.mark.parametrize(
    "heading",
    [
        "<movement-title>II. Allegro molto</movement-title>",
        "<work><work-title>Study: Allegro molto</work-title></work>",
        "<credit page='1'><credit-words>Allegro molto</credit-words></credit>",
    ],
)
def test_a_heading_gives_the_tempo_where_no_mark_does(heading: str) -> None:
    """The word in the title or on the page counts as over the first bar, and it is said where it is from."""
    reading = read(_headed(heading), tempo_words=WORDS)
    assert reading.passage.notes[0].length_ms == pytest.approx(60_000 / 146)
    assert "Allegro molto" in reading.passage.tempo_by
    assert "taken from" in remarks(_headed(heading), tempo_words=WORDS)


def test_a_mark_over_the_notes_beats_the_heading() -> None:
    """A number or a word in the music is nearer to the notes than the title."""
    title = "<movement-title>Allegro</movement-title>"
    marked = read(_headed(title, content=tempo(60)), tempo_words=WORDS).passage
    assert (marked.notes[0].length_ms, marked.tempo_by) == (1000, "")
    worded = read(_headed(title, content=direction("<words>Andante</words>")), tempo_words=WORDS).passage
    assert (worded.notes[0].length_ms, worded.tempo_by) == (pytest.approx(60_000 / 74), "Andante")


def test_a_heading_without_a_tempo_word_leaves_the_assumption() -> None:
    """96 is assumed, and the passage says that it is."""
    passage = read(_headed("<movement-title>Study in Allegrove</movement-title>"), tempo_words=WORDS).passage
    assert (passage.notes[0].length_ms, passage.tempo_by) == (625, "assumed")


@pytest.mark.parametrize("tempo_text", ["0", "1e99999", "9" * 400, "fast", "1000.5"])
def test_a_tempo_that_is_none_is_left_out_with_a_remark(tempo_text: str) -> None:
    """It is said, with its bar, and the tempo before it goes on."""
    reading = read(
        score(bar(tempo(60) + note("C5")), bar(f'<sound tempo="{tempo_text}"/>' + note("D5"), "X2"))
    )
    assert [round(each.length_ms) for each in reading.passage.notes] == [1000, 1000]
    odd = [remark.bar for remark in reading.passage.remarks if "a tempo that is none" in remark.text]
    assert odd == ["X2"]


def test_a_beat_of_endless_dots_is_none() -> None:
    """A hundred thousand dots are no beat, and no number of a hundred thousand digits."""
    dots = "<beat-unit-dot/>" * 100_000
    inner = f"<beat-unit>quarter</beat-unit>{dots}<per-minute>60</per-minute>"
    assert quarter_ms(metronome(inner), note("C5")) == quarter_ms(note("C5"))


def test_percents_of_every_tempo_that_is_marked() -> None:
    """50 % of 120 and 60 are 60 and 30: 1000 and 2000 ms a quarter; so is a tempo that was asked for."""
    music = (tempo(120), note("C5"), tempo(60), note("D5"))
    assert quarter_ms(*music, tempo_percent=50.0) == [1000, 2000]
    assert quarter_ms(*music, tempo=120.0, tempo_percent=50.0) == [1000, 1000]


def test_where_another_tempo_begins_is_told_by_its_first_note() -> None:
    """Two of the same are one; with percents the tempos are those that hold."""
    music = score(bar(tempo(120) + note("C5") + tempo(120) + note("D5") + tempo(60) + note("E5")))
    assert [quarters for _, quarters in read(music).tempi] == [120, 60]
    assert [name for name, _ in read(music).tempi] == [read(music).passage.notes[k].id for k in (0, 2)]
    assert [quarters for _, quarters in read(music, tempo_percent=80.0).tempi] == [96, 48]


@pytest.mark.parametrize("percent", [9.9, 300.1, 0.0, -80.0])
def test_percents_have_their_bounds(percent: float) -> None:
    """10 to 300 are taken, with words for the others."""
    with pytest.raises(RequestError, match="% of the tempo"):
        ReadOptions(tempo_percent=percent)
    assert {ReadOptions(tempo_percent=edge).tempo_percent for edge in (10.0, 300.0)} == {10.0, 300.0}


def test_a_passage_says_where_its_tempo_comes_from() -> None:
    """A printed number, a word, the sound of the file alone or with its word, what is asked, nothing."""
    number = "<metronome><beat-unit>quarter</beat-unit><per-minute>120</per-minute></metronome>"
    marks = {
        direction(number, sound=tempo(120)): ("printed", "quarter = 120"),
        direction(number): ("printed", "quarter = 120"),
        direction(number.replace("120", "60"), sound=tempo(120)): ("playback", ""),
        tempo(120): ("playback", ""),
        direction("<words>Allegro</words>", sound=tempo(120)): ("playback", "Allegro"),
        direction("<words>Allegro</words>"): ("word", "Allegro"),
        "": ("assumed", ""),
    }
    for mark, source in marks.items():
        passage = read(score(bar(mark + note("C5"))), tempo_words=WORDS).passage
        assert passage.tempo_from == source
    assert read(score(bar(note("C5"))), tempo=80).passage.tempo_from == ("asked", "")


def test_what_is_printed_is_known_whatever_is_asked() -> None:
    """A number in quarters a minute; a word at what it stands for, in the metre it stands in."""
    number = "<metronome><beat-unit>half</beat-unit><per-minute>132</per-minute></metronome>"
    marks = {
        direction(number, sound=tempo(264)): (264.0, "half = 132"),
        direction("<words>Allegro</words>"): (WORDS["allegro"], "Allegro"),
        tempo(264): (0.0, ""),
        "": (0.0, ""),
    }
    for mark, printed in marks.items():
        passage = read(score(bar(mark + note("C5"))), tempo_words=WORDS, tempo=80).passage
        assert passage.printed == printed
        assert passage.tempo_from == ("asked", "")


@pytest.mark.parametrize(
    ("back", "quarters", "printed"),
    [("a tempo", 120, "quarter = 120"), ("a tempo", 90, ""), ("Tranquillo", 120, "")],
)
def test_a_tempo_goes_back_to_the_number_before(back: str, quarters: int, printed: str) -> None:
    """As fast as the printed 120 is that; at another tempo or a word of character it is not."""
    number = "<metronome><beat-unit>quarter</beat-unit><per-minute>120</per-minute></metronome>"
    music = score(
        bar(direction(number, sound=tempo(120)) + note("C5")), bar(worded(back, quarters) + note("D5"), "2")
    )
    assert read(music, bars="2", tempo=100).passage.printed[1] == printed


def test_the_tempo_comes_from_the_mark_over_most_of_the_notes() -> None:
    """One bar under a number, two under a word."""
    first = bar(tempo(120) + note("C5"))
    words = bar(direction("<words>Allegro</words>") + note("D5")), bar(note("E5"))
    passage = read(score(first, *words), tempo_words=WORDS).passage
    assert passage.tempo_from == ("word", "Allegro")


@pytest.mark.parametrize(
    ("symbol", "beats", "kind", "metre"),
    [("cut", 4, 4, (2, 2)), ("cut", 2, 2, (2, 2)), ("common", 4, 4, (4, 4)), ("cut", 3, 4, (3, 4))],
)
def test_common_time_crossed_through_is_counted_in_halves(
    symbol: str, beats: int, kind: int, metre: tuple[int, int]
) -> None:
    """A 4/4 printed as a crossed C is a 2/2."""
    numbers = f"<beats>{beats}</beats><beat-type>{kind}</beat-type>"
    time = f'<attributes><divisions>1</divisions><time symbol="{symbol}">{numbers}</time></attributes>'
    assert read(score(bar(time + note("C5")))).passage.notes[0].metre == metre


def test_bars_whose_tempo_no_number_tells_are_known() -> None:
    """A printed 120, Tranquillo that only sounds, a rit. in it, Tempo I at 120: bars 2 and 3 are about."""
    printed = "<metronome><beat-unit>quarter</beat-unit><per-minute>120</per-minute></metronome>"
    heads = (
        direction(printed, sound=tempo(120)),
        worded("Tranquillo", 80),
        worded("rit.", 60),
        worded("Tempo I", 120),
    )
    music = score(*(bar(head + note("C5", 16), str(at)) for at, head in enumerate(heads, start=1)))
    assert read(music).passage.about_bars == ("2", "3")
    asked = read(music, tempo=90).passage
    assert asked.about_bars == ("2", "3")
    assert [is_about(asked, each.bar) for each in asked.notes] == [False, True, True, False]
    only_sounds = score(*(bar(head + note("C5", 16), str(at)) for at, head in enumerate(heads[1:3], start=1)))
    assert read(only_sounds).passage.about_bars == ()
    assert read(only_sounds, tempo=90).passage.about_bars == ()


@pytest.mark.parametrize(
    ("text", "share"), [("tranquillo", 0.85), ("Poco più tranquillo.", 0.925), ("Animato", 1.1)]
)
def test_a_word_of_character_is_as_fast_as_it_is_against_what_was_before(text: str, share: float) -> None:
    """The figure of its word is for a heading; after a tempo tranquillo is never faster than that."""
    words = {"tranquillo": 76.0, "animato": 120.0}
    said = direction(f"<words>{text}</words>")
    for before in (60, 180):
        lengths = quarter_ms(tempo(before), note("C5"), said, note("D5"), tempo_words=words)
        assert lengths == [round(60_000 / before), round(60_000 / before / share)]
    heading = quarter_ms(direction("<words>tranquillo</words>"), note("C5"), tempo_words=words)
    assert heading == [round(60_000 / 76)]


def test_what_a_file_sounds_at_a_word_of_character_counts_where_it_is_mild() -> None:
    """Of 120, 90 at Tranquillo (0.75) is kept, 60 is not: 0.85, as the word; più tranquillo is slower again.

    A number that is printed there, and the sound of a tempo word, are kept whatever they are.
    """

    def rates(*marks: str) -> list[float]:
        music = [worded("Allegro", 120), note("C5"), note("D5")]
        music += [part for each in marks for part in (each, note("E5"))]
        lengths = quarter_ms(*music, tempo=120.0)
        return [round(500 / each, 2) for each in lengths[2:]]

    assert rates(worded("Tranquillo", 90)) == [0.75]
    assert rates(worded("Tranquillo", 60)) == [0.85]
    assert rates(worded("Tranquillo", 60), worded("Sempre più tranquillo", 60)) == [0.85, 0.72]
    assert rates(worded("Animato", 60)) == [1.1]
    assert rates(worded("Adagio", 60)) == [0.5]
    assert rates(worded("calando", 100), worded("Animato", 120)) == [1.0, 1.0]


def test_a_tempo_of_more_or_less_is_never_against_its_word() -> None:
    """Più Allegro as fast as the file has it if that is faster, else by a share; a number is kept."""

    def rates(*marks: str, **options: object) -> list[float]:
        music = [worded("Allegro", 144), note("C5"), note("D5")]
        music += [part for each in marks for part in (each, note("E5"))]
        lengths = [each.length_ms for each in read(score(bar("".join(music))), **options).passage.notes]
        return [round(lengths[0] / each, 2) for each in lengths[2:]]

    assert rates(worded("Più Allegro", 210), tempo=128.0) == [1.46]
    assert rates(worded("Più Allegro", 144), tempo=128.0) == [1.1]
    assert rates(worded("meno mosso", 160), tempo=128.0) == [0.85]
    said = direction("<words>Più Allegro</words>")
    assert rates(said, tempo_words={"allegro": 132.0}) == [1.1]


def test_of_tempo_words_before_one_note_the_last_is_told_at_it() -> None:
    """Those over rests stand in brackets; one that a later takes the place of is gone."""
    waits = bar(worded("Adagio", 60) + note("r", 16), "1"), bar(worded("Andante", 72) + note("r", 16), "2")
    (waited,) = read(score(*waits, bar(note("C5", 16), "3"))).passage.notes
    assert waited.tempo_words == "[Andante]"
    (begun,) = read(score(*waits, bar(worded("Presto", 180) + note("C5", 16), "3"))).passage.notes
    assert begun.tempo_words == "Presto"
    (back,) = read(score(*waits, bar(worded("Tempo primo", 60) + note("C5", 16), "3"))).passage.notes
    assert (back.tempo_words, back.words) == ("", ("Tempo primo",))
