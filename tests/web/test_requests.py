"""What the page asks: routes and what changes in them, one note's grips, two ways, trills, files."""

import base64
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from tests.tiers import some
from tests.web.pages import ROOFTOP, ask, client, error_of, opened, score_body

from gripway.asked.wishes import Wishes
from gripway.catalog.own_files.decisions_file import read_decisions
from gripway.catalog.own_files.player_file import read_player
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.model.figures import figures_by_id
from gripway.model.grip import Grip
from gripway.route.curve import CurveStep
from gripway.route.route_data import route_data
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import read
from gripway.web.answers import curve_answer
from gripway.web.work import LONG

WEATHERCOCK = ROOFTOP.with_name("weathercock_part.musicxml")
ROUTE = finger(read(ROOFTOP).passage, flute())
FAST = {"tempo": 176}
"""A tempo at which the rooftop study has grips that are worth learning."""


@pytest.fixture(scope="module")
def work() -> str:
    """The rooftop study, opened."""
    token: str = opened(**score_body(ROOFTOP))["work"]
    return token


def route(work: str, **body: Any) -> dict[str, Any]:
    """The route of the work."""
    answer = ask("route", work, **body)
    assert answer.status_code == 200, answer.text
    data: dict[str, Any] = answer.json()
    return data


def test_the_route_is_that_of_the_command(work: str) -> None:
    """Grip by grip, with the same effort, hardest changes and status as the task behind the command gives."""
    found = route(work, wishes={})
    assert [note["grip"] for note in found["notes"]] == [
        note.candidate.grip.text for note in ROUTE.notes if note.candidate
    ]
    assert found["effort"] == round(ROUTE.effort, 3)
    assert found["hardest"] == list(ROUTE.hardest)
    assert {note["grip"] for note in found["notes"]} == set(found["pictures"])
    assert all(picture["svg"].startswith("<svg") and picture["alt"] for picture in found["pictures"].values())


def test_the_notes_of_one_figure(work: str) -> None:
    """Every note that has the same neighbours, length and surroundings, itself too; a stranger is refused."""
    notes = read(ROOFTOP).passage.notes
    about = figures_by_id(notes, effort_tables().figures.figure_tempo_factor)
    name = max(about, key=lambda each: sum(figure == about[each] for figure in about.values()))
    found = ask("same", work, wishes={}, note=name).json()["notes"]
    assert found == [each for each, figure in about.items() if figure == about[name]]
    assert len(found) > 1
    assert len(found) > 1
    assert error_of(ask("same", work, wishes={}, note="P9-n1"))["code"] == "request"


def test_only_what_changed_is_sent(work: str) -> None:
    """With the number of the last answer a pin brings a few notes; put in, they make the whole new route."""
    before = route(work, wishes={})
    other = ask("note", work, wishes={}, index=40).json()["grips"][1]["grip"]
    wishes = {"pins": [{"note": before["notes"][40]["id"], "grip": other}]}
    after = route(work, wishes=wishes, since=before["revision"])
    assert after["since"] == before["revision"]
    assert 0 < len(after["notes"]) < len(before["notes"]) / 2
    joined = list(before["notes"])
    for note in after["notes"]:
        joined[note["index"]] = note
    assert joined == route(work, wishes=wishes)["notes"]
    assert joined[40]["grip"] == other


def test_an_unknown_number_brings_the_whole_route(work: str) -> None:
    """A page that missed an answer gets every note."""
    found = route(work, wishes={}, since=10_000)
    assert found["since"] is None
    assert len(found["notes"]) == found["count"]


@pytest.mark.whole
def test_a_long_part_has_grips_before_the_least_route_is_found() -> None:
    """Above `LONG` notes: first the grips that need nothing learnt, then what of the least route differs."""
    for notes, first in ((LONG, False), (LONG + 1, True)):
        work = opened(notes="E6 F#6 G#6 A6 " * (notes // 4) + "B6 " * (notes % 4))["work"]
        begun = route(work, wishes={"tempo": 90}, at_once=True)
        assert (begun["first"], begun["count"]) == (first, notes)
        least = route(work, wishes={"tempo": 90}, since=begun["revision"])
        assert not least["first"]
        assert least["since"] == begun["revision"]
        assert least["effort"] <= begun["effort"]
        assert not route(work, wishes={"tempo": 90}, at_once=True)["first"]  # it is known by now


def test_all_grips_of_a_note(work: str) -> None:
    """The chosen one first with nothing more, the others rising; with words, cents, sources and a picture."""
    found = ask("note", work, wishes={}, index=6).json()
    more = [grip["effort_more"] for grip in found["grips"]]
    assert found["grips"][0]["chosen"]
    assert more[0] == 0.0
    assert more == sorted(more)
    assert [grip["grip"] for grip in found["grips"][1:4]] == [
        o.candidate.grip.text for o in ROUTE.notes[6].others[:3]
    ]
    assert found["note"]["why"] == ROUTE.notes[6].why
    assert all(grip["sources"] for grip in found["grips"])


def test_a_pinned_note_still_shows_what_else_there_is(work: str) -> None:
    """The pinned grip is marked; the others keep what they would take against the best."""
    free = ask("note", work, wishes={}, index=6).json()
    worst = free["grips"][-1]
    pins = [{"note": free["note"]["id"], "grip": worst["grip"]}]
    found = ask("note", work, wishes={"pins": pins}, index=6).json()
    assert [grip["grip"] for grip in found["grips"]] == [grip["grip"] for grip in free["grips"]]
    assert [grip["effort_more"] for grip in found["grips"]] == [grip["effort_more"] for grip in free["grips"]]
    assert [grip["grip"] for grip in found["grips"] if grip["chosen"] and grip["pinned"]] == [worst["grip"]]


def test_a_banned_grip_is_gone_and_can_be_found_to_allow_it(work: str) -> None:
    """It is no longer among the grips of any such note, and stands among those that cannot be chosen."""
    note = ask("note", work, wishes={}, index=6).json()
    ban = {"pitch": note["note"]["pitch"], "grip": note["grips"][0]["row_grip"]}
    found = route(work, wishes={"bans": [ban]})
    assert all(n["grip"] != ban["grip"] for n in found["notes"] if n["pitch"] == ban["pitch"])
    barred = ask("note", work, wishes={"bans": [ban]}, index=6).json()["barred"]
    assert {"grip": ban["grip"], "why_not": "banned"}.items() <= next(
        entry for entry in barred if entry["grip"] == ban["grip"]
    ).items()


def test_a_pin_takes_what_the_total_rises_by(work: str) -> None:
    """What the note says of its pin is the difference of the two efforts as they are shown."""
    free = route(work, wishes=FAST)
    rises = []
    for index in some(range(0, free["count"], 15), 3):
        told = ask("note", work, wishes=FAST, index=index).json()
        pins = [{"note": told["note"]["id"], "grip": told["grips"][1]["grip"]}]
        total = route(work, wishes=FAST | {"pins": pins})["effort"]
        rises.append(ask("note", work, wishes=FAST | {"pins": pins}, index=index).json()["pin_takes"])
        assert rises[-1] == pytest.approx(round(total, 2) - round(free["effort"], 2))
    assert max(rises) > 0
    assert ask("note", work, wishes=FAST, index=0).json()["pin_takes"] == 0


def test_each_pin_of_a_list_takes_what_its_note_says(work: str) -> None:
    """One question for all pins gives what the note of each gives alone."""
    grips = {index: ask("note", work, wishes=FAST, index=index).json() for index in (2, 6)}
    pins = [{"note": each["note"]["id"], "grip": each["grips"][1]["grip"]} for each in grips.values()]
    wishes = FAST | {"pins": pins}
    alone = {
        each["note"]["id"]: ask("note", work, wishes=wishes, index=index).json()["pin_takes"]
        for index, each in grips.items()
    }
    assert max(alone.values()) > 0
    assert ask("pins", work, wishes=wishes).json() == {"takes": alone}
    assert ask("pins", work, wishes=FAST).json() == {"takes": {}}


def test_pins_outside_the_chosen_bars_wait(work: str) -> None:
    """Choosing bars without a pinned note is no error, and the pin holds again with all bars."""
    whole = route(work, wishes={})
    last = whole["notes"][-1]
    grip = ask("note", work, wishes={}, index=last["index"]).json()["grips"][1]["grip"]
    pins = [{"note": last["id"], "grip": grip}]
    assert route(work, wishes={"bars": "1-2", "pins": pins})["count"] < whole["count"]
    assert route(work, wishes={"pins": pins})["notes"][-1]["grip"] == grip


def test_other_flutes_and_tempos(work: str) -> None:
    """A slower tempo has lower loads, a piccolo no cents, a B foot is a part."""

    def hardest(found: dict[str, Any]) -> float:
        return max(change["load"] for change in found["changes"])

    assert hardest(route(work, wishes={"tempo": 40})) < hardest(route(work, wishes={"tempo": 160}))
    assert {note["cents"] for note in route(work, wishes={"flute": "piccolo"})["notes"]} == {None}
    assert route(work, wishes={"parts": ["b-foot"]})["instrument"]["parts"] == ["b-foot"]


def test_percents_of_the_marked_tempo(work: str) -> None:
    """80 % of 126, the study's only tempo, is the route at 100.8; what is written is told as it is."""
    answer = ask("look", work, wishes={"tempo_percent": 80}).json()
    assert (answer["tempo"], answer["written_tempo"]) == (100.8, 126.0)
    assert [quarters for _, quarters in answer["tempi"]] == [126.0]
    assert (
        route(work, wishes={"tempo_percent": 80})["effort"] == route(work, wishes={"tempo": 100.8})["effort"]
    )
    assert error_of(ask("look", work, wishes={"tempo_percent": 5}))["code"] == "request"


def test_every_grip_has_the_loads_around_it(work: str) -> None:
    """Those of the chosen grip are the route's; the first note has none into it, the last none out of it."""
    found = route(work, wishes=FAST)
    loads = {change["to"]: change["load"] for change in found["changes"]}
    for index in (0, 6, found["count"] - 1):
        grips = ask("note", work, wishes=FAST, index=index).json()["grips"]
        chosen = next(grip for grip in grips if grip["chosen"])
        for key, to in (("load_into", index), ("load_out", index + 1)):
            if to in loads:
                assert chosen[key] == pytest.approx(loads[to], abs=0.006)
            else:
                assert chosen[key] is None
        if index < found["count"] - 1:
            assert len({(grip["load_into"], grip["load_out"]) for grip in grips}) > 1


def test_a_grip_has_the_same_loads_before_and_after_it_is_pinned() -> None:
    """The thumb goes to the B-flat lever some notes before: no slide is held against the pin."""
    work = opened(notes="(C#5 D#5 E5 F#5 G#5 A#5 B#5 C#6) E6:1/4", unit="1/32", tempo=96)["work"]
    place = 5
    grips = ask("note", work, wishes={}, index=place).json()["grips"]
    lever = next(grip for grip in grips if grip["short"] == "Tb 1 | Eb")
    pins = [{"note": route(work)["notes"][place]["id"], "grip": lever["grip"]}]
    after = route(work, wishes={"pins": pins})
    loads = {change["to"]: change["load"] for change in after["changes"]}
    assert "Tb" in after["notes"][place - 1]["grip"].split()
    assert lever["load_into"] == pytest.approx(loads[place], abs=0.006)
    assert lever["load_out"] == pytest.approx(loads[place + 1], abs=0.006)


def test_what_a_change_needs_over_what_it_has_is_its_load(work: str) -> None:
    """The time that is shown is the one the load counts, slurred or tongued."""
    changes = [change for change in route(work, wishes=FAST)["changes"] if change["load"]]
    assert changes
    for change in changes:
        assert change["needed_ms"] / change["available_ms"] == pytest.approx(change["load"], abs=0.002)


def test_a_trill_has_both_its_grips() -> None:
    """The other grip of a written trill comes with its picture, what moves and how fast."""
    work = opened(notes="tr D#6:1/2 A5:1/4", tempo=96)["work"]
    found = route(work)
    trill = found["notes"][0]["trill"]
    assert trill["pitch"] in ("E6", "E#6")
    assert trill["grip"] in found["pictures"]
    assert trill["grip"] != found["notes"][0]["grip"]
    assert trill["movers"]
    assert trill["notes_per_s"] > 0
    assert found["notes"][1]["trill"] is None


def test_the_beat_of_the_metre_is_told(tmp_path: Path) -> None:
    """In 2/2 halves are counted, in 4/4 quarters."""
    text = ROOFTOP.read_text(encoding="utf-8")
    assert "<beats>" in text
    beats = {}
    for metre in ((2, 2), (4, 4)):
        path = tmp_path / f"in_{metre[0]}.musicxml"
        time = f"<beats>{metre[0]}</beats><beat-type>{metre[1]}</beat-type>"
        path.write_text(re.sub(r"<beats>.*?</beat-type>", time, text, flags=re.DOTALL), encoding="utf-8")
        beats[metre] = opened(**score_body(path))["beat"]
    assert beats == {(2, 2): {"name": "half", "quarters": 2.0}, (4, 4): {"name": "quarter", "quarters": 1.0}}


def test_limits_hold_for_the_whole_passage(work: str) -> None:
    """At most one unusual grip: no more are there, their cost is told, and a note says what is outside."""
    free, limits = route(work, wishes=FAST), ["at most 1 unusual grips"]
    found = route(work, wishes={"limits": limits, **FAST})
    assert sum(not note["usual"] for note in found["notes"]) <= 1 < sum(not n["usual"] for n in free["notes"])
    assert found["effort"] > free["effort"]
    assert any("at most 1 unusual grips" in line for line in found["limits"])
    assert free["limits"] == []
    told = ask("note", work, wishes={"limits": limits, **FAST}, index=6).json()
    assert told["grips"][0]["chosen"]
    assert any("limits" in entry["why_not"] for entry in told["barred"])


def test_limits_that_cannot_be_kept(work: str) -> None:
    """No lean at all is possible for no note: refused with the limit's own words."""
    answer = ask("route", work, wishes={"limits": ["no note over 0 cents"], "bars": "1-2"})
    assert answer.status_code == 400
    assert "no note over 0 cents" in answer.json()["error"]["what"]


def test_the_engraving_finds_every_note_again(work: str) -> None:
    """Every note of the route has its place in the music, on whatever width."""
    ids = {note["id"] for note in route(work, wishes={})["notes"]}
    for width in (90, 250):
        drawn = ask("engraving", work, wishes={}, width_mm=width).json()["systems"]
        assert ids <= {name for system in drawn for name in system["notes"]}
    some = ask("engraving", work, wishes={"bars": "2"}, width_mm=200).json()["systems"]
    assert {name for system in some for name in system["notes"]} < ids


def test_music_is_drawn_between_its_narrowest_and_widest() -> None:
    """A width beyond either end is drawn at that end, not refused and not drawn on a page of a mile."""
    token = opened(notes="E6 F#6 G#6 A6")["work"]

    def drawn(width: float) -> Any:
        return ask("engraving", token, wishes={}, width_mm=width).json()

    assert drawn(60) == drawn(1) != drawn(61)
    assert drawn(600) == drawn(9_000) != drawn(599)


def test_one_point_is_no_curve() -> None:
    """A part without a grip worth learning has one point: it is told, and no line is drawn through it."""
    step = CurveStep((), 0, 2_000, 2_000, 0.5)
    assert curve_answer((step,), None)["svg"] == ""
    other = CurveStep(((90, Grip.parse("T 1 3 | 2 Eb")),), 1, 1_000, 1_000, 0.4)
    assert curve_answer((step, other), None)["svg"].startswith("<svg")


def test_music_comes_in_chunks() -> None:
    """A long part is drawn piece by piece, each with the notes it was said to have; others are refused."""
    notes = " ".join(["E5 F5 G5 A5"] * 240)
    work = opened(notes=notes, unit="1/16", tempo=96)["work"]
    first = ask("engraving", work, wishes={}, width_mm=200).json()
    assert len(first["chunks"]) == 3
    (begin, end), names = first["chunks"][1], set[str]()
    for system in ask("engraving", work, wishes={}, width_mm=200, chunk=1).json()["systems"]:
        names |= set(system["notes"])
    assert names == {f"P1-n{k}" for k in range(begin, end + 1)}
    for chunk in (3, -1):
        assert error_of(ask("engraving", work, wishes={}, width_mm=200, chunk=chunk))["place"] == "chunk"


def test_two_ways_compared(work: str) -> None:
    """Against the standard grips: less effort, more unusual grips, and the notes where they differ."""
    found = ask("compare", work, wishes_a={"choose": "standard", **FAST}, wishes_b=FAST).json()
    assert found["a"]["effort"] > found["b"]["effort"]
    assert found["a"]["unusual"] < found["b"]["unusual"]
    assert len(found["differing"]) >= found["b"]["unusual"] - found["a"]["unusual"]
    assert all(note["a"] != note["b"] for note in found["differing"])


def test_trills_need_no_work() -> None:
    """F6 to G6, best pair first, each with two pictures; a wrong note is refused with its place."""
    found = client().post("/trill", json={"low": "F6", "high": "G6"}).json()
    assert found["pairs"][0]["lower_picture"]["svg"].startswith("<svg")
    wrong = client().post("/trill", json={"low": "F6", "high": "H"})
    assert wrong.json()["error"]["place"] == "upper note"


def test_the_player_file_says_what_was_wished(work: str, tmp_path: Path) -> None:
    """The file taken away is read by the command's own reader and gives flute, dials and bans again."""
    wishes = {
        "parts": ["split-e"],
        "dials": {"tuning": 2.5},
        "bans": [{"kind": "trill"}, {"pitch": "F#6", "grip": "T L1 L3 | R3 Eb"}],
    }
    text = ask("download/player", work, wishes=wishes).text
    assert tomllib.loads(text)["flute"]["parts"] == ["split-e"]
    path = tmp_path / "player.toml"
    path.write_text(text, encoding="utf-8")
    player = read_player(path)
    assert player.dials == (("tuning", 2.5),)
    assert {ban.kind for ban in player.bans} == {"trill", None}


def test_pins_are_taken_away_as_decisions_that_the_command_reads(work: str, tmp_path: Path) -> None:
    """The place of each pin and its grip; a pin for no note is left out."""
    note = ROUTE.passage.notes[7]
    grip = next(o.candidate.grip for o in ROUTE.notes[7].others)
    wishes = {"pins": [{"note": note.id, "grip": grip.text}]}
    path = tmp_path / "decisions.toml"
    path.write_text(ask("download/decisions", work, wishes=wishes).text, encoding="utf-8")
    (decision,) = read_decisions(path)
    assert (decision.grip, decision.place.bar, decision.place.pitch) == (grip, note.bar, note.pitch)
    assert decision.mark


def test_the_pair_of_a_trill_is_a_pin_with_what_moves() -> None:
    """A decision on a trill comes in with its pair, is taken, goes out as it was, and can be taken back."""
    token = opened(**score_body(WEATHERCOCK))["work"]
    text = '[[decision]]\nbar = "20"\nbeat = 1\npitch = "E6"\ngrip = "T 1 2 | Eb tr L2"\n'
    (pin,) = ask("decisions", token, wishes={}, name="d.toml", text=text).json()["pins"]
    assert (pin["grip"], pin["moving"]) == ("T L1 L2 | Eb", "L2")

    def told(*pins: dict[str, str]) -> str:
        """What the page says of the note."""
        wishes = {"pins": list(pins)}
        place = next(n["index"] for n in route(token, wishes=wishes)["notes"] if n["id"] == pin["note"])
        return str(ask("note", token, wishes=wishes, index=place).json())

    free = told()
    assert "trill with F#6 = T 1 | Eb: L2 moves" in told(pin)
    assert 'grip = "T 1 2 | Eb tr L2"' in ask("download/decisions", token, wishes={"pins": [pin]}).text
    assert "= T 1 | Eb: L2 moves" not in free
    assert told() == free


def test_a_player_file_comes_back_as_wishes(work: str) -> None:
    """What the page writes it reads; the rest is named, a tuner's list not looked for, a slip told."""
    wishes = {
        "flute": "concert-flute",
        "parts": ["split-e"],
        "dials": {"tuning": 2.5},
        "bans": [{"pitch": "F#6", "grip": "T L1 L3 | R3 Eb"}, {"kind": "trill"}],
    }
    text = ask("download/player", work, wishes=wishes).text
    assert client().post("/player", json={"name": "player.toml", "text": text}).json() == {
        "wishes": wishes,
        "left": [],
    }
    more = '[known]\ngrips = ["F#6: T L1 L3 | R2 Eb"]\n[cents]\nfile = "/etc/passwd"\n'
    assert client().post("/player", json={"text": more}).json()["left"] == ["known grips", "the tuner's list"]
    slip = {"name": "mine.toml", "text": "[dials]\ntuning = 99\n"}
    error = error_of(client().post("/player", json=slip))
    assert error["place"] == "mine.toml:dials.tuning"


def test_decisions_come_back_as_pins(work: str) -> None:
    """What the page writes it reads; a place that is not there is named, a slip told with its decision."""
    notes = [ROUTE.notes[index] for index in (7, 40)]
    pins = [{"note": n.note.id, "grip": n.others[0].candidate.row_grip.text} for n in notes]
    text = ask("download/decisions", work, wishes={"pins": pins}).text
    found = ask("decisions", work, wishes={"bars": "1-2"}, name="d.toml", text=text).json()
    assert found == {"pins": pins, "lost": [], "unpinned": 0, "moved": []}
    gone = text.replace(f'pitch = "{notes[0].note.pitch.name}"', 'pitch = "C4"', 1)
    found = ask("decisions", work, wishes={}, name="d.toml", text=gone).json()
    assert found["pins"] == pins[1:]
    assert [words.startswith("bar 1, C4: ") for words in found["lost"]] == [True]
    error = error_of(ask("decisions", work, wishes={}, name="d.toml", text='[[decision]]\nbar = "1"\n'))
    assert error["place"] == "d.toml: decision 1: pitch"


def test_a_tuners_list_comes_back_as_wishes(work: str) -> None:
    """Readings replace what is known of a grip, go with the wishes, and are taken away as they came."""
    text = "pitch,grip,cents,spread_cents\nG#6,L2 L3 L4 | Eb,3.0,2.0\n"
    wishes = client().post("/tuner", json={"name": "t.csv", "text": text}).json()["wishes"]
    assert wishes["cents"][0]["cents"] == 3.0
    plain, own = (route(work, wishes=each)["notes"] for each in ({}, wishes))
    leans = {
        (a["cents"], b["cents"]) for a, b in zip(plain, own, strict=True) if b["grip"] == "L2 L3 L4 | Eb"
    }
    assert leans == {(15, 3)}
    assert ask("download/tuner", work, wishes=wishes).text == text
    assert "no readings" in error_of(ask("download/tuner", work, wishes={}))["what"]
    wrong = error_of(client().post("/tuner", json={"name": "t.csv", "text": text.replace("3.0", "300")}))
    assert wrong["place"] == "t.csv:2"
    table = {"name": "grips.csv", "text": ask("download/csv", work, wishes={}).text}
    assert "table of grips" in error_of(client().post("/tuner", json=table))["what"]


def test_the_table_is_that_of_the_command(work: str) -> None:
    """CSV with a row for every note and the runners-up in it."""
    lines = ask("download/csv", work, wishes={}).text.splitlines()
    assert lines[0].split(",")[:3] == ["index", "id", "bar"]
    assert len(lines) == len(ROUTE.notes) + 1
    assert "(+" in lines[7]


def test_flutes_and_dials_are_those_of_the_tables() -> None:
    """Four flutes, their parts with titles, five dials from 0 to 4."""
    found = client().get("/flutes").json()
    assert [entry["id"] for entry in found["flutes"]] == [
        "alto-flute",
        "bass-flute",
        "concert-flute",
        "piccolo",
    ]
    assert {"id": "split-e", "title": "split E mechanism"} in found["flutes"][2]["parts"]
    assert [(dial["least"], dial["most"]) for dial in found["dials"]] == [(0.0, 4.0)] * 5


def test_the_answer_in_a_sentence_with_what_is_to_learn(work: str) -> None:
    """Those of the command, each grip to learn with a picture."""
    found, data = route(work, wishes=FAST), fast_data()
    assert found["sentence"] == data["sentence"]
    assert [{key: each[key] for key in data["learn"][0]} for each in found["learn"]] == data["learn"]
    assert all(each["grip"] in found["pictures"] for each in found["learn"])


def fast_data() -> dict[str, Any]:
    """What the command says at that tempo."""
    part = read(ROOFTOP, ReadOptions(tempo=176)).passage
    return route_data(finger(part, flute(), Wishes(curve=True)))


@pytest.mark.whole
def test_the_learning_curve_and_a_number_of_grips(work: str) -> None:
    """Its points are the command's; with a number the route is that point."""
    answer, told = ask("curve", work, wishes=FAST).json(), fast_data()
    charged = [
        point
        | {key: pytest.approx(point[key] + point["grips"] * answer["each"]) for key in ("effort", "bound")}
        for point in told["curve"]
    ]
    assert answer["points"] == charged
    shown = next(point for point in answer["points"] if point["grips"] == answer["chosen"])
    total = ask("route", work, wishes=FAST).json()["effort"]
    assert shown["effort"] == pytest.approx(total), "the measure of the route itself"
    assert answer["svg"].startswith("<svg xmlns=")
    assert answer["chosen"] == len(told["learn"]) > 0
    numbers = re.findall(r'data-learn="(\d+)"', answer["svg"])
    assert numbers == [str(point["grips"]) for point in told["curve"]]
    found = route(work, wishes={"learn": 0, **FAST})
    assert found["learn"] == []
    assert all(note["usual"] for note in found["notes"])
    assert ask("curve", work, wishes={"learn": 0, **FAST}).json()["chosen"] == 0
    assert found["effort"] == answer["points"][0]["effort"]


def test_a_grip_that_would_be_another_to_learn_says_so(work: str) -> None:
    """Beside a number of grips the others of a note cannot be chosen, with the reason."""
    place = route(work, wishes=FAST)["learn"][0]["places"][0]["index"]
    barred = ask("note", work, wishes={"learn": 0, **FAST}, index=place).json()["barred"]
    assert any(entry["why_not"].startswith("another grip to learn") for entry in barred)


def test_within_limits_there_is_no_curve(work: str) -> None:
    """And a number of grips asked for before gives way to the limits."""
    wishes = {"limits": ["at most 2 unusual grips"], "learn": 1}
    assert ask("curve", work, wishes=wishes).json()["points"] == []
    assert route(work, wishes=wishes)["limits"]


def test_a_bar_that_would_be_a_formula_is_text() -> None:
    """A bar number that begins with = stands behind a blank in the table."""
    score = ROOFTOP.read_text(encoding="utf-8").replace('<measure number="2"', '<measure number="=1+1"')
    token = opened(name="x.musicxml", data=base64.b64encode(score.encode()).decode())["work"]
    bars = {line.split(",")[2] for line in ask("download/csv", token, wishes={}).text.splitlines()}
    assert " =1+1" in bars
    assert "=1+1" not in bars
