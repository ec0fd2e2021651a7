"""--decisions: an editor's word on a place is kept, marked or not, checked, and written anew."""

import csv
import io
import re
from pathlib import Path

import pytest
from tests.cli.run_gripway import PICCOLO, ask
from tests.cli.tiny_scores import note, part, score

from gripway.model.grip import Grip
from gripway.score.reading.score_reading import read_score

OTHER = "T 1 3 | 2 Eb"
"""A grip of F#6 that is not the standard one (common practice, no source)."""

BARS = ("E6 F#6 G6 A6", "G6 F#6 E6 D6", "E6 F#6 G6 D6", "E6 F#6 A6 D6")


def tiny(folder: Path, *bars: str, name: str = "part.musicxml") -> Path:
    """A part of bars of quarters."""
    path = folder / name
    path.write_bytes(score(part(*("".join(map(note, bar.split())) for bar in bars))))
    return path


def decided(folder: Path, *entries: str) -> Path:
    """A file of these decisions."""
    path = folder / "decisions.toml"
    path.write_text("".join(f"[[decision]]\n{entry}\n" for entry in entries), encoding="utf-8")
    return path


def marks(data: bytes) -> dict[str, str]:
    """The fingerings of F#6 by bar."""
    notes = read_score(data, "marked").passage.notes
    return {each.bar: " ".join(each.fingering) for each in notes if each.pitch.name == "F#6"}


ENTRIES = (
    f'bar = 1\npitch = "F#6"\ngrip = "{OTHER}"\nreason = "as in the copy"',
    'bar = 2\npitch = "F#6"\ngrip = "plain"',
    'bar = 3\npitch = "F#6"\ngrip = "plain"\nmark = false',
    'bar = 4\npitch = "F#6"\nmark = false',
)


@pytest.mark.parametrize("which", ["needed", "figures", "every"])
def test_each_kind_of_decision_is_kept(which: str, tmp_path: Path) -> None:
    """A grip and the plain one are marked, however little they save; the others never."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, *ENTRIES)
    answer = ask("finger", path, "--decisions", file, "--mark", which, "--format", "musicxml")
    assert marks(answer.data) == {"1": OTHER, "2": "T 1 3 | 3 Eb", "3": "", "4": ""}
    data = ask("finger", path, "--decisions", file, "--format", "json").json
    grips = {each["bar"]: each["grip"] for each in data["notes"] if each["pitch"] == "F#6"}
    assert grips["1"] == "T L1 L3 | R2 Eb"
    assert grips["2"] == grips["3"] == "T L1 L3 | R3 Eb"


def test_a_pin_wins_over_a_decision(tmp_path: Path) -> None:
    """What is asked for on the command is asked for now."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, ENTRIES[1])
    data = ask("finger", path, "--decisions", file, "--pin", f"6={OTHER}", "--format", "json").json
    assert data["notes"][5]["grip"] == "T L1 L3 | R2 Eb"


def test_the_critical_list_has_the_editors_reason(tmp_path: Path) -> None:
    """In place of the reason of the search, which was not asked."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, *ENTRIES)
    answer = ask("finger", path, "--decisions", file, "--format", "critical")
    assert ",grip,as in the copy,\n" in answer.out
    assert "the editor's decision" in answer.out


def test_every_decision_is_in_the_critical_list(tmp_path: Path) -> None:
    """Also what has no mark, with its reason; a decided grip is compared with the plain one."""
    unmarked = ENTRIES[3] + '\nreason = "everybody knows it"'
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, *ENTRIES[:3], unmarked)
    asked = ("finger", path, "--tempo", "120", "--decisions", file, "--format")
    rows = list(csv.DictReader(io.StringIO(ask(*asked, "critical").out)))
    by_bar = {row["bar"]: row for row in rows if row["pitch"] == "F#6"}
    assert [by_bar[str(bar)]["decision"] for bar in (1, 2, 3, 4)] == [
        "grip",
        "plain",
        "plain, unmarked",
        "no mark",
    ]
    first = by_bar["1"]
    assert first["runner_up"] == "T L1 L3 | R3 Eb"
    assert float(first["runner_up_cents"]) == float(by_bar["2"]["cents"])
    free = ask("finger", path, "--tempo", "120", "--format", "json").json["notes"][1]
    assert free["grip"] == "T L1 L3 | R3 Eb"
    more = next(each["effort_more"] for each in free["others"] if each["grip"] == "T L1 L3 | R2 Eb")
    assert float(first["effort_more"]) == pytest.approx(-more, abs=2e-3)
    text = ask(*asked, "critical-md").out
    marked, _, rest = text.partition("### Decided, and not marked")
    assert "everybody knows it" in rest
    assert "| the editor's decision: as in the copy |" in marked
    assert f"| T 1 3 \\| 3 Eb: {abs(float(first['effort_more'])):.2f} less effort, " in marked
    assert "Quarter = 120; house style: none, marks for needed" in text


def test_what_no_longer_fits_is_listed(tmp_path: Path) -> None:
    """No such note, no such part, a grip of another note: each with its place in the file, unless --quiet."""
    path = tiny(tmp_path, *BARS)
    file = decided(
        tmp_path,
        'bar = 9\npitch = "F#6"\ngrip = "plain"',
        'bar = 1\npitch = "F#6"\ngrip = "T 1 2 3 | 1 2 3 Eb"',
        'part = "Oboe"\nbar = 1\npitch = "F#6"\ngrip = "plain"',
    )
    answer = ask("finger", path, "--decisions", file, "--format", "musicxml")
    assert answer.code == 1
    for said in (
        "decisions: kept 0 of 2",
        "decision 1 no longer fits: bar 9, F#6: bar 9 has no F#6",
        "decision 2 no longer fits: bar 1, F#6: T 1 2 3 | 1 2 3 Eb is no grip of F#6",
        "decision 3 no longer fits: Oboe, bar 1, F#6: the score has no such part",
    ):
        assert said in answer.err
    quiet = ask("finger", path, "--decisions", file, "--format", "musicxml", "--quiet")
    assert (quiet.code, quiet.data, quiet.err) == (1, answer.data, "")


def test_the_report_compares_the_marks_with_the_decisions(tmp_path: Path) -> None:
    """Nothing to report where they were marked; each one that is not as decided otherwise."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, *ENTRIES)
    marked = tmp_path / "marked.musicxml"
    marked.write_bytes(ask("finger", path, "--decisions", file, "--format", "musicxml").data)
    assert ask("consistency", marked, "--decisions", file).code == 0
    changed = decided(
        tmp_path,
        'bar = 1\npitch = "F#6"\nmark = false\nreason = "too much"',
        f'bar = 2\npitch = "F#6"\ngrip = "{OTHER}"',
        'bar = 3\npitch = "F#6"\ngrip = "plain"',
        'bar = 7\npitch = "F#6"\ngrip = "plain"',
    )
    found = ask("consistency", marked, "--decisions", changed, "--format", "json").json["findings"]
    told = [each["what"] for each in found if each["kind"] == "decision"]
    assert [what.partition(" (")[0].partition(", but")[0] for what in told[:3]] == [
        "marked",
        "T 1 3 | 3 Eb is marked",
        "not marked",
    ]
    assert "too much" in told[0]
    assert "no longer fits" in told[3]


def test_decisions_are_written_and_found_after_a_bar_is_put_in(tmp_path: Path) -> None:
    """What is marked becomes a file of decisions; in a copy with a bar more all of them are kept."""
    file = tmp_path / "written.toml"
    words = ("--tempo", "300", "--mark", "needed")
    assert ask("finger", PICCOLO, *words, "--format", "decisions", "--out", file).code == 0
    count = file.read_text(encoding="utf-8").count("[[decision]]")
    assert count > 0
    before = ask("finger", PICCOLO, *words, "--decisions", file, "--format", "critical")
    assert before.out.count(",grip,") - 1 == count  # the heading has one
    again = ask("finger", PICCOLO, *words, "--decisions", file, "--format", "decisions")
    assert again.out == file.read_text(encoding="utf-8")
    assert "no longer fits" not in again.err


def test_a_plan_keeps_the_decisions(tmp_path: Path) -> None:
    """What is practised is what the edition says."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, ENTRIES[0].replace("bar = 1", "bar = 4"))
    asked = ("--tempo", "400", "--format", "json")
    plain = ask("practise", path, *asked)
    kept = ask("practise", path, *asked, "--decisions", file)
    assert "T L1 L3 | R2 Eb" in kept.out
    assert "T L1 L3 | R2 Eb" not in plain.out


def test_decisions_are_for_a_score(tmp_path: Path) -> None:
    """A line of notes has no bars to decide on."""
    answer = ask("finger", "--notes", "E6 F#6", "--decisions", decided(tmp_path, ENTRIES[0]))
    assert answer.code == 2
    assert "is for a SCORE" in answer.err


def test_a_decision_at_one_place_of_a_figure_has_an_end(tmp_path: Path) -> None:
    """With no room for marks, a figure decided at its first place says its own grip at the next."""
    path = tiny(tmp_path, *["E6 F#6 G6 F#6"] * 3)
    file = decided(tmp_path, f'bar = 1\nbeat = 2\npitch = "F#6"\ngrip = "{OTHER}"')
    file.write_text(
        file.read_text(encoding="utf-8") + '[[decision]]\nbar = 2\nbeat = 2\npitch = "F#6"\ngrip = "plain"\n',
        encoding="utf-8",
    )
    house = tmp_path / "house.toml"
    house.write_text('[marks]\nwhich = "figures"\nat_most = 1\n', encoding="utf-8")
    words = ("--house-style", house, "--decisions", file, "--format", "critical")
    rows = [line.split(",")[:6] for line in ask("finger", path, *words).out.splitlines()[1:]]
    assert [(row[1], row[2], row[5]) for row in rows][:2] == [("1", "2", OTHER), ("2", "2", "T 1 3 | 3 Eb")]


def test_a_place_that_is_not_plain_is_told_with_the_beats_of_its_bar(tmp_path: Path) -> None:
    """Twice in the bar, on another beat, or not at all."""
    path = tiny(tmp_path, "E6 F#6 G6 F#6")
    entries = ('pitch = "F#6"', 'beat = 3\npitch = "F#6"', 'pitch = "A6"')
    file = decided(tmp_path, *(f"bar = 1\nmark = false\n{entry}" for entry in entries))
    said = ask("finger", path, "--decisions", file, "--format", "critical").err
    assert said.count("bar 1 has F#6 on beat 2, 4: say which with beat") == 1
    assert "bar 1 has F#6 on beat 2, 4, none on 3" in said
    assert "bar 1 has no A6" in said


def test_the_reasons_name_what_is_written(tmp_path: Path) -> None:
    """The pitch as it is written, the beat that was said, the octave that sounds, what is decided twice."""
    path = tiny(tmp_path, "E6 Ab6 G6 A6", "F#6 G6 D6 E6")
    file = decided(
        tmp_path,
        'bar = 1\npitch = "Ab6"\ngrip = "T 1 2 3 | 1 2 3 Eb"',
        'bar = 1\nbeat = 2.5\npitch = "E6"\ngrip = "plain"',
        'bar = 2\npitch = "F#5"\ngrip = "plain"',
        'bar = 2\npitch = "G6"\ngrip = "plain"',
        'bar = 2\nbeat = 2\npitch = "G6"\nmark = false',
    )
    answer = ask("finger", path, "--decisions", file, "--format", "musicxml")
    assert answer.code == 1
    for said in (
        "Ab6: T 1 2 3 | 1 2 3 Eb is no grip of Ab6",
        "bar 1 has E6 on beat 1, none on 2.5",
        "bar 2 has no F#5, but F#6: under an 8va line write what sounds",
        "decision 5 no longer fits: bar 2, G6: decided twice",
        "kept 1 of 5",
    ):
        assert said in answer.err


def test_bars_put_in_are_told_of_decisions_without_neighbours(tmp_path: Path) -> None:
    """All of them fit one bar later: they are kept there, and said to be; the consistency says it too."""
    path = tiny(tmp_path, "B5 C6 D6 C6", "E6 F#6 G6 A6", "D6 C6 F6 B5", "G#6 C6 E6 D6", "B5 A5 C6 F#6")
    places = (f'bar = 1\npitch = "F#6"\ngrip = "{OTHER}"', 'bar = 2\npitch = "F6"\ngrip = "plain"')
    more = ('bar = 3\npitch = "G#6"\ngrip = "plain"', 'bar = 4\npitch = "F#6"\nmark = false')
    file = decided(tmp_path, *places, *more)
    answer = ask("finger", path, "--decisions", file, "--format", "musicxml")
    assert answer.code == 0
    assert marks(answer.data)["2"] == OTHER
    marked = tmp_path / "marked.musicxml"
    marked.write_bytes(answer.data)
    checked = ask("consistency", marked, "--decisions", file)
    assert checked.code == 0
    for said in (answer.err, checked.err):
        assert "kept 4 of 4" in said
        assert "the 4 decisions from bar 1 to bar 4 fit 1 bar later" in said


def test_where_most_fit_their_bars_another_distance_is_only_told(tmp_path: Path) -> None:
    """Three fit as they are said, all four a bar later: the one is listed, and what may be is said."""
    path, file = tiny(tmp_path, "B5 C6 D6 C6", *BARS), decided(tmp_path, *ENTRIES)
    answer = ask("finger", path, "--decisions", file, "--format", "critical")
    assert answer.code == 1
    assert "kept 3 of 4" in answer.err
    assert "all decisions without neighbours would fit 1 bar later" in answer.err


THUMBS = ("C6 Bb5 D6 F6", "Bb5 D6 Bb5 D6", "B5 G5 A5 B5", "Bb5 F6 D6 Bb5")
FIGURES = ("--mark", "figures", "--tempo", "40", "--format")


def thumb_marks(path: Path, *words: object, form: str = "musicxml") -> list[tuple[str, str, str]]:
    """Bar, pitch and text of every fingering in a marked copy."""
    notes = read_score(ask("finger", path, *words, *FIGURES, form).data, "marked").passage.notes
    return [(each.bar, each.pitch.name, text) for each in notes for text in each.fingering]


def test_a_decision_says_where_the_thumb_goes(tmp_path: Path) -> None:
    """Tb and T alone are marked where they were decided, and written again as such."""
    path = tiny(tmp_path, *THUMBS)
    file = decided(
        tmp_path,
        'bar = 1\npitch = "D6"\ngrip = "Tb"\nreason = "before the B flats"',
        'bar = 3\npitch = "G5"\ngrip = "T"',
        'bar = 4\npitch = "D6"\ngrip = "Tb"\nmark = false',
    )
    found = thumb_marks(path, "--decisions", file)
    assert ("1", "D6", "Tb") in found
    assert ("3", "G5", "T") in found
    assert not [each for each in found if each[:2] == ("4", "D6")]
    written = ask("finger", path, "--decisions", file, *FIGURES, "decisions").out
    assert 'grip = "Tb"\nreason = "before the B flats"' in written
    marked = tmp_path / "marked.musicxml"
    marked.write_bytes(ask("finger", path, "--decisions", file, *FIGURES, "musicxml").data)
    checked = ask("consistency", marked, "--decisions", file, "--format", "json").json["findings"]
    assert [each for each in checked if each["kind"] == "decision"] == []


def test_a_thumb_needs_a_note_that_has_one(tmp_path: Path) -> None:
    """The thumb is off for C6: such a decision is listed."""
    path, file = tiny(tmp_path, *THUMBS), decided(tmp_path, 'bar = 1\npitch = "C6"\ngrip = "Tb"')
    answer = ask("finger", path, "--decisions", file, *FIGURES, "critical")
    assert answer.code == 1
    assert "C6 has no standard grip with the thumb on Tb" in answer.err


SIMILE = ("E6 F#6 G6 D6", "C6 B5 A5 G5", "C5 D5 G5 A5", "E6 F#6 G6 D6")


def test_no_mark_rules_over_simile(tmp_path: Path) -> None:
    """The sign for a figure that comes again goes as well, from the note whose grip it means."""
    path = tiny(tmp_path, *SIMILE)
    first = decided(tmp_path, f'bar = 1\npitch = "F#6"\ngrip = "{OTHER}"')
    words = ("--pin", f"14={OTHER}", "--decisions", first)
    assert ("4", "F#6", "sim.") in thumb_marks(path, *words)
    decided(tmp_path, f'bar = 1\npitch = "F#6"\ngrip = "{OTHER}"', 'bar = 4\npitch = "F#6"\nmark = false')
    assert [each for each in thumb_marks(path, *words) if each[0] == "4"] == []


def test_a_simile_against_a_decision_is_reported(tmp_path: Path) -> None:
    """Whatever is marked at a note that was to have no mark."""
    path = tiny(tmp_path, *SIMILE)
    first = decided(tmp_path, f'bar = 1\npitch = "F#6"\ngrip = "{OTHER}"')
    marked = tmp_path / "marked.musicxml"
    words = ("--pin", f"14={OTHER}", "--decisions", first)
    marked.write_bytes(ask("finger", path, *words, *FIGURES, "musicxml").data)
    changed = decided(tmp_path, 'bar = 4\npitch = "F#6"\nmark = false')
    found = ask("consistency", marked, "--decisions", changed, "--format", "json").json["findings"]
    assert [each["what"].partition(",")[0] for each in found if each["kind"] == "decision"] == ["marked"]


def test_a_trill_tells_the_cents_of_its_other_note(tmp_path: Path) -> None:
    """Beside those of the note itself, in the list as data and as a document."""
    path = tmp_path / "trill.musicxml"
    trill = note("F6").replace(
        "</note>", "<notations><ornaments><trill-mark/></ornaments></notations></note>"
    )
    path.write_bytes(score(part(note("E6") + trill + note("E6") + note("D6"))))
    asked = ("finger", path, "--tempo", "60", "--mark", "every", "--format")
    rows = {row["pitch"]: row for row in csv.DictReader(io.StringIO(ask(*asked, "critical").out))}
    assert rows["F6"]["trill_cents"]
    moved = re.search(r"the trill with G6 moves (\w+)", rows["F6"]["reason"])
    assert moved is not None
    file = decided(tmp_path, 'bar = 1\npitch = "F6"\nmark = false')
    bare = ask("finger", path, "--tempo", "60", "--decisions", file, "--format", "critical").out
    assert f"no mark, by the editor's decision; {moved[0]}" in bare
    assert rows["E6"]["trill_cents"] == ""
    assert f"; trill {round(float(rows['F6']['trill_cents'])):+d} cents" in ask(*asked, "critical-md").out


def test_written_decisions_leave_the_reasons_to_the_editor(tmp_path: Path) -> None:
    """No sum of the search stands as if an editor had written it."""
    out = ask("finger", PICCOLO, "--tempo", "300", "--mark", "needed", "--format", "decisions").out
    assert "[[decision]]" in out
    assert "reason" not in out


def test_a_file_that_is_given_is_written_without_the_other_marks(tmp_path: Path) -> None:
    """What the editor did not decide is no decision; how many marks that are is said."""
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, ENTRIES[0])
    words = ("--mark", "every", "--format", "decisions")
    answer = ask("finger", path, "--decisions", file, *words)
    assert answer.out.count("[[decision]]") == 1
    assert "15 marks not decided and not written here" in answer.err
    assert ask("finger", path, *words).out.count("[[decision]]") == 16


@pytest.mark.parametrize("grip", ["[F med.]", "F med.", "T L1 L3 / R2 Eb"])
def test_decisions_may_be_written_as_the_house_does(grip: str, tmp_path: Path) -> None:
    """Its abbreviation and its stroke between the hands; `consistency` reads them too."""
    house = tmp_path / "house.toml"
    house.write_text('[abbreviations]\n"F med." = "T L1 L3 | R2 Eb"\n', encoding="utf-8")
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, f'bar = 1\npitch = "F#6"\ngrip = "{grip}"')
    styled = ("--house-style", house, "--decisions", file)
    marked = tmp_path / "marked.musicxml"
    assert ask("finger", path, *styled, "--format", "musicxml", "--out", marked).code == 0
    assert marks(marked.read_bytes())["1"] == "F med."
    checked = ask("consistency", marked, *styled, "--format", "json").json["findings"]
    assert [each for each in checked if each["kind"] == "decision"] == []


TRILLED = "<notations><ornaments><trill-mark/></ornaments></notations></note>"
"""A trill on a note, to the next step of the key."""


def trilled_part(folder: Path, *before: str) -> Path:
    """A part with a trill on F6 in its first bar, or with more bars before it."""
    path = folder / "trill.musicxml"
    trill = note("F6").replace("</note>", TRILLED)
    path.write_bytes(score(part(*before, note("E6") + trill + note("E6") + note("D6"), note("D6") * 4)))
    return path


PAIRS = ("T 1 2 3 | 1 Eb tr R1", "plain tr T", "T 1 3 | 1 Eb tr T Kds")
"""Ways to trill F6 with G6 that the search does not take: a printed pair, and two of `gripway trill`."""


def test_the_house_reads_its_abbreviations_where_nothing_is_marked(tmp_path: Path) -> None:
    """In the route as text or JSON and in a practice plan; where nothing is read by it, it is refused."""
    house = tmp_path / "house.toml"
    house.write_text('[abbreviations]\n"F med." = "T L1 L3 | R2 Eb"\n', encoding="utf-8")
    path, file = tiny(tmp_path, *BARS), decided(tmp_path, 'bar = 1\npitch = "F#6"\ngrip = "F med."')
    styled = ("--house-style", house, "--decisions", file)
    found = ask("finger", path, *styled, "--format", "json").json["notes"][1]
    assert found["grip"] == "T L1 L3 | R2 Eb"
    log = tmp_path / "days.log"
    planned = ask("practise", path, *styled, "--days", "1", "--log", log, "--format", "json")
    again = ask("practise", "--log", log, "--format", "json")
    for answer in (planned, again):
        assert answer.code == 0
        assert "decisions: kept 1 of 1" in answer.err
    for command in ("finger", "practise"):
        refused = ask(command, path, "--house-style", house)
        assert refused.code == 2
        assert "--decisions" in refused.err
    unread = ask("practise", path, "--decisions", file)
    assert unread.code == 2
    assert "Write the touches pressed" in unread.err


@pytest.mark.parametrize("pair", PAIRS)
def test_the_pair_of_a_trill_is_decided(pair: str, tmp_path: Path) -> None:
    """Its grip and what moves are taken, marked and told, and the marked score agrees with the decision."""
    path = trilled_part(tmp_path)
    file = decided(tmp_path, f'bar = 1\npitch = "F6"\ngrip = "{pair}"\nreason = "as in the copy"')
    held, _, moves = pair.replace("plain", "T 1 3 | 1 Eb").partition(" tr ")
    found = ask("finger", path, "--decisions", file, "--format", "json").json["notes"][1]
    grip = Grip.parse(held)
    assert (found["grip"], found["ornament"]["notes"][1]["grip"]) == (
        grip.text,
        Grip(grip.mask ^ Grip.parse(moves).mask).text,
    )
    marked = tmp_path / "marked.musicxml"
    ask("finger", path, "--decisions", file, "--format", "musicxml", "--out", marked)
    assert f"{held} tr {moves}" in marked.read_text(encoding="utf-8")
    text = ask("consistency", marked, "--decisions", file).out
    assert "decided" not in text
    other = decided(tmp_path, 'bar = 1\npitch = "F6"\ngrip = "T 1 3 | 1 Kds Eb tr T"')
    assert (
        "is marked, but decided is T 1 3 | 1 Kds Eb tr T"
        in ask("consistency", marked, "--decisions", other).out
    )


def test_a_decided_pair_is_written_and_read_again(tmp_path: Path) -> None:
    """By --format decisions, also from the marks alone; a bar put in before it does no harm."""
    path = trilled_part(tmp_path)
    file = decided(tmp_path, f'bar = 1\npitch = "F6"\ngrip = "{PAIRS[0]}"')
    full = tmp_path / "full.toml"
    ask("finger", path, "--decisions", file, "--format", "decisions", "--out", full)
    assert f'grip = "{PAIRS[0]}"' in full.read_text(encoding="utf-8")
    later = trilled_part(tmp_path, note("C6") * 4)
    answer = ask("finger", later, "--decisions", full, "--format", "critical")
    assert "kept 1 of 1" in answer.err
    assert ',"grip, trill",' in answer.out


def test_a_decided_pair_holds_for_its_figure(tmp_path: Path) -> None:
    """Where the same trill comes again it has the same pair, with *sim.*, until another is decided."""
    path = trilled_part(tmp_path)
    bar = note("D6") + note("E6") + note("F6").replace("</note>", TRILLED) + note("E6")
    path.write_bytes(score(part(bar, bar, bar)))
    entries = [f'bar = {n}\npitch = "F6"\ngrip = "{pair}"' for n, pair in ((1, PAIRS[2]), (3, PAIRS[1]))]
    asked = ("--mark", "figures", "--format")
    for entries_here, pairs in (
        (entries[:1], (PAIRS[2], PAIRS[2])),
        (entries, (PAIRS[2], "T 1 3 | 1 Eb tr T")),
    ):
        file = decided(tmp_path, *entries_here)
        marked = ask("finger", path, "--decisions", file, *asked, "musicxml").data
        notes = read_score(marked, "marked").passage.notes
        said = [" ".join(each.fingering) for each in notes if each.pitch.name == "F6"]
        assert said == [pairs[0], "sim.", "" if len(entries_here) == 1 else pairs[1]]


@pytest.mark.parametrize(
    ("pitch", "grip", "said"),
    [
        ("D6", "plain tr L3", "D6 has no trill"),
        ("F6", "plain tr Eb", "is no grip of G6, its other note, on this flute"),
    ],
)
def test_a_pair_that_cannot_be_is_listed(pitch: str, grip: str, said: str, tmp_path: Path) -> None:
    """With its place and what is amiss, and the search goes on without it."""
    file = decided(tmp_path, f'bar = 1\npitch = "{pitch}"\ngrip = "{grip}"')
    answer = ask("finger", trilled_part(tmp_path), "--decisions", file, "--format", "critical")
    assert answer.code == 1
    assert "decision 1 no longer fits" in answer.err
    assert said in answer.err


@pytest.mark.parametrize(
    ("grip", "said"),
    [("plain tr 3", "tr 3 names no touches"), ("Tb tr L3", "Tb says where the thumb goes")],
)
def test_what_moves_is_named_with_its_hand(grip: str, said: str, tmp_path: Path) -> None:
    """A bare number could be either hand's, and a thumb alone is no grip to trill from."""
    file = decided(tmp_path, f'bar = 1\npitch = "F6"\ngrip = "{grip}"')
    answer = ask("finger", trilled_part(tmp_path), "--decisions", file, "--format", "critical")
    assert answer.code == 2
    assert said in answer.err


def test_a_pair_can_be_pinned(tmp_path: Path) -> None:
    """--pin takes what a mark says; a pair that is none is refused with its note."""
    path = trilled_part(tmp_path)
    found = ask("finger", path, "--pin", f"2={PAIRS[0]}", "--format", "json").json["notes"][1]
    assert found["ornament"]["notes"][1]["grip"] == "T L1 L2 L3 | Eb"
    refused = ask("finger", path, "--pin", "2=T 1 3 | 1 Eb tr Eb")
    assert refused.code == 2
    assert "cannot be trilled so" in refused.err
    assert "Pin the grip alone" in refused.err


def test_a_lost_decision_is_told_in_the_bars_of_today(tmp_path: Path) -> None:
    """A bar was put in and one note changed: where it would be by the others, and what is there."""
    bars = ("E6 F#6 G6 A6", "D6 C6 F6 B5", "G#6 C6 E6 D6", "B5 A5 C6 F#6")
    file = decided(
        tmp_path,
        *(
            f'bar = {bar}\nbeat = {beat}\npitch = "{pitch}"\ngrip = "plain"'
            for bar, beat, pitch in PLACES_OF_BARS
        ),
    )
    full = tmp_path / "full.toml"
    ask("finger", tiny(tmp_path, *bars), "--decisions", file, "--format", "decisions", "--out", full)
    path = tiny(tmp_path, "B5 C6 D6 C6", *bars[:2], "G6 C6 E6 D6", bars[3])
    for known in (full, file):
        answer = ask("finger", path, "--decisions", known, "--format", "critical")
        assert "kept 3 of 4" in answer.err
        assert "bar 3, G#6: by the others it would be bar 4" in answer.err
        assert "which now has G6" in answer.err


PLACES_OF_BARS = ((1, 2, "F#6"), (2, 3, "F6"), (3, 1, "G#6"), (4, 4, "F#6"))
