"""`gripway finger`: its formats, the documented JSON, and every option once."""

import csv
import io
from typing import Any

import pytest
from tests.cli.run_gripway import FLUTE, PASSAGE, PICCOLO, REPEATS, ask
from tests.cli.tiny_scores import fingering, note, part, score

from gripway.asked.wishes import Wishes
from gripway.route.route_data import route_data
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

TURNS = ("--notes", "D5 (F#5 E5 F#5 E5 F#5 E5) D5:1/4", "--tempo", "138")
"""E5 and F#5 by turns, where the middle finger serves F# (common practice, no source)."""

STILL = ("--dial", "speed=0", "--dial", "steadiness=0")
"""Dials with which no change costs anything for its speed or for what sounds on the way."""

TEXT, NUMBER, WHOLE = str, (int, float), int
NULL = type(None)

ROUTE = {
    "schema": WHOLE,
    "instrument": TEXT,
    "status": TEXT,
    "sentence": TEXT,
    "effort": NUMBER,
    "charges": dict,
    "learn": list,
    "curve": list,
    "notes": list,
    "changes": list,
    "hardest": list,
    "remarks": list,
}
CENTS = {
    "cents": (*NUMBER, NULL),
    "cents_spread": (*NUMBER, NULL),
    "cents_vs_standard": (*NUMBER, NULL),
    "cents_vs_standard_spread": (*NUMBER, NULL),
    "cents_source": (TEXT, NULL),
    "cents_known": (TEXT, NULL),
}
NOTE = {
    "index": WHOLE,
    "id": TEXT,
    "bar": TEXT,
    "time_through": WHOLE,
    "pitch": TEXT,
    "onset_ms": NUMBER,
    "length_ms": NUMBER,
    "grip": (TEXT, NULL),
    "touches": list,
    "kind": (TEXT, NULL),
    **CENTS,
    "lineage": TEXT,
    "flags": list,
    "flag_values": list,
    "why": TEXT,
    "effort": NUMBER,
    "parts": dict,
    "others": list,
}
OTHER = {"grip": TEXT, "kind": TEXT, **CENTS, "effort_more": NUMBER}
CHANGE = {
    "to": WHOLE,
    "change_ms": NUMBER,
    "available_ms": NUMBER,
    "load": NUMBER,
    "movers": dict,
    "lead": (TEXT, NULL),
    "on_the_way": list,
    "effort": NUMBER,
    "parts": dict,
}
LEARN = {
    "pitch": TEXT,
    "grip": TEXT,
    "kind": TEXT,
    "places": list,
    "saves": NUMBER,
    "cents": (*NUMBER, NULL),
    "cents_spread": (*NUMBER, NULL),
    "steady": NUMBER,
}
CURVE = {
    "grips": WHOLE,
    "effort": NUMBER,
    "bound": NUMBER,
    "worst_load": NUMBER,
    "places": WHOLE,
    "learn": list,
}
CHARGES = {"learning": NUMBER, "changing": NUMBER, "each": NUMBER}
FLAG = {"kind": TEXT, "cents": (*NUMBER, NULL), "spread": (*NUMBER, NULL), "source": (TEXT, NULL)}
REMARK = {"text": TEXT, "bar": TEXT, "id": TEXT}
SOURCES = {"measured", "taught", "modelled", "judgement"}


def fits(value: dict[str, Any], shape: dict[str, Any]) -> bool:
    """Whether an object has exactly these keys with values of these types (a truth value is no number)."""
    return value.keys() == shape.keys() and all(
        isinstance(value[key], kind) and not isinstance(value[key], bool) for key, kind in shape.items()
    )


def json_of(*words: object, code: int = 0) -> Any:
    """The JSON of a passage."""
    answer = ask("finger", *words, "--format", "json")
    assert answer.code == code, answer.err
    return answer.json


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--notes", PASSAGE, "--tempo", "160"], 0),
        (["--notes", "E6 F7 r B3 E6"], 1),
        ([str(FLUTE), "--bars", "1-20"], 0),
        ([str(PICCOLO), "--bars", "20-30"], 0),
        ([str(REPEATS), "--bars", "1-30"], 0),
    ],
)
def test_json_has_the_documented_keys_and_types(words: list[str], code: int) -> None:
    """Every object has exactly the keys of the manual, with their types."""
    data = json_of(*words, code=code)
    assert fits(data, ROUTE)
    assert all(fits(each, NOTE) for each in data["notes"])
    assert all(fits(each, CHANGE) for each in data["changes"])
    assert all(fits(each, REMARK) for each in data["remarks"])
    assert fits(data["charges"], CHARGES)
    assert all(fits(each, LEARN) for each in data["learn"])
    assert all(fits(each, CURVE) for each in data["curve"])
    assert all(fits(flag, FLAG) for each in data["notes"] for flag in each["flag_values"])
    assert data["schema"] == 1
    assert all(fits(other, OTHER) for each in data["notes"] for other in each["others"])
    assert {each["cents_source"] for each in data["notes"] if each["cents"] is not None} <= SOURCES
    assert data["status"] == ("gaps" if code else "optimal")


def test_cents_that_are_not_known_have_no_source() -> None:
    """Of the piccolo no leans are known: null for all four keys, as in the list of grips."""
    data = json_of(PICCOLO, "--bars", "22")
    assert {each[key] for each in data["notes"] for key in CENTS} == {None}


def test_json_agrees_with_itself() -> None:
    """Touches spell the grip, indices count up, changes and the hardest ones point at notes."""
    data = json_of(PICCOLO)
    for place, each in enumerate(data["notes"]):
        assert each["index"] == place
        assert each["touches"] == each["grip"].replace("|", " ").split()
    assert [change["to"] for change in data["changes"]] == list(range(1, len(data["notes"])))
    loads = {change["to"]: change["load"] for change in data["changes"]}
    hardest = [loads[to] for to in data["hardest"]]
    assert hardest == sorted(hardest, reverse=True)
    assert hardest[0] == max(loads.values())
    work = {
        tuple(data["notes"][k][key] for k in (to - 1, to) for key in ("pitch", "grip"))
        for to in data["hardest"]
    }
    assert len(work) == len(hardest) == 5


@pytest.mark.parametrize("words", [["--notes", PASSAGE, "--tempo", "160"], [str(PICCOLO)]])
def test_the_parts_add_up_to_the_totals(words: list[str]) -> None:
    """Parts of every ledger add up to its effort, those with the charges to the route's (to rounding)."""
    data = json_of(*words)
    ledgers = [*data["notes"], *data["changes"]]
    for each in ledgers:
        assert sum(each["parts"].values()) == pytest.approx(each["effort"], abs=0.0006)
    charges = data["charges"]["learning"] + data["charges"]["changing"]
    total = sum(each["effort"] for each in ledgers) + charges
    assert total == pytest.approx(data["effort"], abs=0.0006 * len(ledgers))


def test_json_is_the_answer_of_the_task() -> None:
    """The command adds nothing to what the library answers."""
    asked = json_of("--notes", PASSAGE, "--tempo", "160")
    assert asked == route_data(finger(notes(PASSAGE, 160), flute(), Wishes(curve=True)))


def test_the_same_question_gets_the_same_bytes() -> None:
    """Two runs, one answer."""
    words = ("finger", PICCOLO, "--format", "json")
    assert ask(*words).data == ask(*words).data


def test_csv_has_the_notes_of_the_json() -> None:
    """One row a note under the same names, read back by an independent reader (Python's csv)."""
    data = json_of("--notes", PASSAGE)
    rows = list(csv.DictReader(io.StringIO(ask("finger", "--notes", PASSAGE, "--format", "csv").out)))
    assert list(rows[0]) == [key for key in NOTE if key != "flag_values"]
    assert [row["grip"] for row in rows] == [each["grip"] for each in data["notes"]]
    assert [float(row["effort"]) for row in rows] == [each["effort"] for each in data["notes"]]


def test_a_note_without_a_grip_is_a_gap() -> None:
    """The passage goes on around it: null, its reason as a flag, exit 1 (F7 lies above the tables)."""
    data = json_of("--notes", "E6 F7 G6", code=1)
    gap = data["notes"][1]
    assert (gap["grip"], gap["kind"], gap["touches"]) == (None, None, [])
    assert gap["flags"] == ["outside the concert flute: its tables cover B3 to E7"]
    assert all(data["notes"][place]["grip"] for place in (0, 2))


def test_a_note_that_needs_a_part_says_so() -> None:
    """B3 is the lowest note of a B foot (common practice, no source): without one it is a gap."""
    assert "b-foot" in json_of("--notes", "B3", code=1)["notes"][0]["flags"][0]
    assert json_of("--notes", "B3", "--with", "b-foot")["notes"][0]["grip"].endswith("B")


def test_the_tempo_of_notes_is_quarters_a_minute() -> None:
    """At 120 a sixteenth lasts 125 ms and a quarter 500 ms (60 000 / 120)."""
    data = json_of("--notes", "E6 F6:1/4", "--tempo", "120")
    assert [each["length_ms"] for each in data["notes"]] == [125.0, 500.0]


def test_the_unit_is_the_length_of_a_bare_note() -> None:
    """With --unit 1/8 a note without a length is an eighth: 250 ms at 120."""
    data = json_of("--notes", "E6 F6", "--tempo", "120", "--unit", "1/8")
    assert [each["length_ms"] for each in data["notes"]] == [250.0, 250.0]


def test_bars_and_part_and_voice_choose_the_notes() -> None:
    """Only what was asked for is fingered."""
    two = score(part(note("C6"), note("D6"), name="Flute 1"), part(note("E6"), note("F6"), name="Flute 2"))
    asked = ask("finger", "-", "--part", "Flute 2", "--bars", "2", "--format", "json", stdin=two)
    assert [each["pitch"] for each in asked.json["notes"]] == ["F6"]
    voices = note("C6", inside="<voice>1</voice>") + "<backup><duration>4</duration></backup>"
    voices += note("A5", inside="<voice>2</voice>")
    asked = ask("finger", "-", "--voice", "2", "--format", "json", stdin=score(part(voices)))
    assert [each["pitch"] for each in asked.json["notes"]] == ["A5"]


def test_the_tempo_option_beats_the_score() -> None:
    """A quarter at 100 lasts 600 ms whatever the score says."""
    marked = score(part('<sound tempo="60"/>' + note("C6")))
    lengths = [
        ask("finger", "-", *words, "--format", "json", stdin=marked).json["notes"][0]["length_ms"]
        for words in ((), ("--tempo", "100"))
    ]
    assert lengths == [1000.0, 600.0]


def test_a_piccolo_part_is_read_for_the_piccolo() -> None:
    """A part that sounds an octave above its notes is a piccolo's (common practice), and that is said."""
    answer = ask("finger", PICCOLO, "--bars", "22", "--format", "json")
    assert answer.json["instrument"] == "piccolo"
    assert answer.err == "remark: the part sounds an octave higher than written: read as piccolo\n"


def test_an_instrument_asked_for_beats_the_score() -> None:
    """--instrument is not second-guessed."""
    answer = ask("finger", PICCOLO, "--bars", "22", "--instrument", "concert flute", "--format", "json")
    assert (answer.json["instrument"], answer.err) == ("concert-flute", "")


def test_a_pin_is_kept_and_costs() -> None:
    """The pinned grip is in the route, by number, by id, with or without the hand letters."""
    free, plain = json_of(*TURNS), "T L1 L2 L3 | R3 Eb"
    texts = ("2=T 1 2 3 | 3 Eb", "n2=T 1 2 3 | 3 Eb", "n2=T L1 L2 L3 | R3 Eb", "2 = eb r3 l3 l2 l1 t")
    pinned = [json_of(*TURNS, "--pin", text) for text in texts]
    assert {data["notes"][1]["grip"] for data in pinned} == {plain}
    assert free["notes"][1]["grip"] != plain
    assert {data["effort"] > free["effort"] for data in pinned} == {True}
    assert len({data["effort"] for data in pinned}) == 1


def test_a_banned_grip_and_a_banned_kind_are_not_used() -> None:
    """--ban by pitch and grip, and by kind."""
    free = json_of(*TURNS)["notes"][1]
    one = json_of(*TURNS, "--ban", f"F#5={free['grip']}")
    assert free["grip"] not in [each["grip"] for each in one["notes"]]
    kind = json_of("--notes", "E6 D6 E6 D6 E6 D6", "--tempo", "138", "--ban", "harmonic", "--ban", "trill")
    assert not {"harmonic", "trill"} & {each["kind"] for each in kind["notes"]}


def test_the_baselines_can_be_chosen() -> None:
    """Standard is standard throughout; neither baseline takes less effort than the least."""
    by_choice = {choice: json_of(*TURNS, "--choose", choice) for choice in ("effort", "standard", "movers")}
    assert {each["kind"] for each in by_choice["standard"]["notes"]} == {"standard"}
    efforts = {choice: data["effort"] for choice, data in by_choice.items()}
    assert efforts["effort"] == min(efforts.values())
    assert efforts["effort"] < efforts["standard"]

    def moved(data: Any) -> int:
        return sum(len(change["movers"]) for change in data["changes"])

    assert moved(by_choice["movers"]) == min(map(moved, by_choice.values()))


def test_a_dial_changes_choices_and_not_times() -> None:
    """With speed and steadiness off nothing calls for other grips; a pinned route keeps its times."""
    words = TURNS
    free, still = json_of(*words), json_of(*words, *STILL)
    assert (
        {each["kind"] for each in still["notes"]} == {"standard"} != {each["kind"] for each in free["notes"]}
    )
    pins = [word for each in free["notes"] for word in ("--pin", f"{each['id']}={each['grip']}")]
    kept = json_of(*words, *STILL, *pins)
    for key in ("change_ms", "load", "movers"):
        assert [change[key] for change in kept["changes"]] == [change[key] for change in free["changes"]]


def test_fingerings_in_the_score_are_kept_when_asked() -> None:
    """A grip written in the score becomes a pin; a plain finger number does not."""
    plain = fingering("[T 1 2 3 | 3 Eb]")
    cell = note("E5", 1, inside=fingering("2")) + note("F#5", 1, inside=plain)
    cell += (note("E5", 1) + note("F#5", 1)) * 2
    data = score(part(cell))
    kept, free = (
        ask("finger", "-", *words, "--tempo", "150", "--format", "json", stdin=data).json["notes"]
        for words in (("--keep-fingerings",), ())
    )
    assert kept[1]["grip"] == "T L1 L2 L3 | R3 Eb" != free[1]["grip"]


def test_remarks_go_to_standard_error_with_their_bar() -> None:
    """What was assumed is said, and stands in the JSON too."""
    chord = note("C6") + note("E6", before="<chord/>")
    answer = ask("finger", "-", "--format", "json", stdin=score(part(chord)))
    said = [f"remark: {'bar ' + each['bar'] + ': ' if each['bar'] else ''}{each['text']}"
            for each in answer.json["remarks"]]  # fmt: skip
    assert answer.err.splitlines() == said
    assert any("bar 1: " in line for line in said)


def test_above_c_sharp_7_nothing_is_claimed_of_the_way() -> None:
    """No lead, no note on the way and no price for one, though several fingers move."""
    changes = ask("finger", "--notes", "D7 D#7 D7 C#7", "--tempo", "140", "--format", "json").json["changes"]
    assert max(len(change["movers"]) for change in changes) >= 2
    for change in changes:
        assert change["lead"] is None
        assert change["on_the_way"] == []
        assert "unsafe" not in change["parts"]


def test_so_many_grips_to_learn_and_no_more() -> None:
    """--learn 0 leaves the usual grips, --learn 1 learns what pays; the curve has both with their efforts."""
    free, none, one = json_of(*TURNS), json_of(*TURNS, "--learn", "0"), json_of(*TURNS, "--learn", "1")
    assert none["learn"] == []
    assert [each["grip"] for each in one["learn"]] == [each["grip"] for each in free["learn"]]
    efforts = {step["grips"]: step["effort"] for step in free["curve"]}
    assert efforts[0] == none["effort"]
    assert efforts[1] == pytest.approx(one["effort"] - one["charges"]["learning"])


@pytest.mark.parametrize(
    ("words", "place"),
    [
        (("--learn", "1", "--limit", "no unusual grips"), "learn 1"),
        (("--learn", "1", "--choose", "movers"), "choose movers"),
        (("--learn", "1", "--tradeoff"), "--learn"),
        (("--curve", "--alternatives", "1"), "--curve"),
        (("--curve", "--format", "html"), "--curve"),
        (("--curve", "--choose", "standard"), "--curve"),
        (("--curve", "--limit", "no unusual grips"), "--curve"),
    ],
)
def test_idle_learning_options_are_refused(words: tuple[str, ...], place: str) -> None:
    """What would change nothing beside the others is named."""
    answer = ask("finger", *TURNS, *words)
    assert answer.code == 2
    assert answer.err.startswith(f"gripway: {place}: ")


def test_the_dial_of_learning_changes_what_pays() -> None:
    """Turned up no grip pays here, turned off grips are learnt for nothing."""
    dear = json_of(*TURNS, "--dial", "learning=4", "--tempo", "100")
    free = json_of(*TURNS, "--dial", "learning=0")
    assert len(dear["learn"]) <= len(free["learn"])
    assert free["charges"]["learning"] == 0.0
    assert len(free["learn"]) > 0


def test_a_heading_gives_the_tempo_of_a_part() -> None:
    """A title with a tempo word: its tempo is taken and named in the sentence; without one 96 is assumed."""
    plain = score(part(note("C6"), note("D6")))
    titled = plain.replace(b"<part-list>", b"<movement-title>Presto</movement-title><part-list>")
    assert titled != plain
    told = [ask("finger", "-", stdin=data).out.splitlines()[0] for data in (titled, plain)]
    assert told[0].startswith("At quarter = 176 (Presto): ")
    assert told[1].startswith("At quarter = 96 (assumed): ")
