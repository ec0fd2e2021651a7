"""`--limit`, `--rules` and `--time-limit`: what they answer, and what each slip is answered with."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.cli.run_gripway import FLUTE, PICCOLO, REPEATS, ask
from tests.oracles.flutes import solver_of
from tests.oracles.passages import played
from tests.patience import UNHURRIED_S

from gripway.asked.limits import USUAL_SECONDS, Limits
from gripway.asked.wishes import Wishes
from gripway.limits import feasible
from gripway.limits import limited_route as limited_route
from gripway.limits.answer import solve_within
from gripway.limits.proved_path import Answer, limited_path
from gripway.limits.wording import conflict_error, limit_lines, limit_remark
from gripway.route.result import Conflict, Least, Route
from gripway.trellis.constrained_network import ConstrainedNetwork

RUN = "(E6 F#6 G#6 A6) (B6 A6 G#6 F#6) E6:1/4 F6 F#6 G#6 A6"
LEAPS = "A5 F#6 A5 F#6 A5:1/4 r A5 F#6 A5 F#6 A5:1/4"
"""Four leaps to F#6 overblown from B."""

RULES = Path(__file__).parents[2] / "examples" / "rules.toml"


@pytest.fixture(autouse=True)
def unhurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no time is asked for the search has what it needs, and so has naming a conflict."""

    def search(network: ConstrainedNetwork, seconds: float) -> Answer:
        return limited_path(network, UNHURRIED_S if seconds == USUAL_SECONDS else seconds)

    monkeypatch.setattr(limited_route, "limited_path", search)
    monkeypatch.setattr(limited_route, "FINDING", (UNHURRIED_S, UNHURRIED_S))


def test_the_text_says_what_the_limits_cost() -> None:
    """The cost against the route without limits, the proof, and how far each limit is used."""
    answer = ask("finger", "--notes", LEAPS, "--tempo", 150, "--limit", "at most 2 unusual grips")
    free = ask("finger", "--notes", LEAPS, "--tempo", 150, "--format", "json").json["effort"]
    limited = ask(
        *("finger", "--notes", LEAPS, "--tempo", 150, "--limit", "at most 2 unusual grips"),
        "--format",
        "json",
    ).json
    assert answer.code == 0
    assert f"effort {limited['effort']:.2f}, {limited['effort'] - free:.2f} more than without" in answer.out
    assert "at most 2 unusual grips: 2 of 2" in answer.out
    assert limited["limits"]["effort_free"] == free
    assert sum(note["kind"] != "standard" for note in limited["notes"]) == 2


def test_without_limits_nothing_is_said_of_them() -> None:
    """No line and no key."""
    assert "limits" not in ask("finger", "--notes", RUN, "--tempo", 100, "--format", "json").json
    assert "Limits" not in ask("finger", "--notes", RUN, "--tempo", 100).out


def test_rules_are_kept_and_counted() -> None:
    """The example's rules: no R3 on the way to G#6, the overblown G#6, the thumb preferred."""
    words = ("finger", "--notes", RUN, "--tempo", 100, "--rules", RULES, "--format", "json")
    answer = ask(*words).json
    for here, there in zip(answer["notes"], answer["notes"][1:], strict=False):
        if (here["pitch"], there["pitch"]) == ("F#6", "G#6"):
            assert "R3" not in here["touches"]
    assert {n["grip"] for n in answer["notes"] if n["pitch"] == "G#6"} == {"T L1 L2 L3 L4 | Eb"}
    assert answer["limits"]["limits"][2]["of"] == 4


def test_a_conflict_is_a_message_and_in_json_an_answer_too() -> None:
    """Exit code 2 and one message; the JSON has the same as data."""
    words = ("finger", "--notes", "E6 F#6", "--tempo", 100, "--limit", "tuning within 1 cents")
    plain, data = ask(*words), ask(*words, "--format", "json")
    assert (plain.code, plain.out, data.code) == (2, "", 2)
    assert "tuning within 1 cents: no route can keep this" in plain.err
    conflict = data.json["limits"]["conflict"]
    assert data.json["status"] == "conflict"
    assert conflict["limits"] == ["tuning within 1 cents"]
    assert f"{conflict['least'][0]['least']:g} cents" in plain.err


def test_the_same_command_gives_the_same_bytes() -> None:
    """Twice the same limits, twice the same JSON."""
    words = ("finger", "--notes", RUN, "--limit", "same figure same grip", "--limit", "learn 1 grip")
    first, second = (ask(*words, "--tempo", 100, "--format", "json").data for _ in range(2))
    assert first == second


SLIPS = {
    ("--limit", "fewer grips"): "not understood",
    ("--limit", "tuning within -1 cents"): "-1 is no limit. Give 0 or more, and less than 1000000",
    ("--limit", "tuning within 1000000 cents"): "1000000 is no limit. Give 0 or more, and less than 1000000",
    ("--limit", "thumb stays in notes 2-99"): "reach outside the passage. Its notes go from 1 to 3",
    ("--limit", "thumb stays in notes 0-2"): "reach outside the passage. Its notes go from 1 to 3",
    ("--limit", "thumb stays", "--pin", "2=T 1 | Eb", "--pin", "2=T 1 3 | 2 Eb"): "note 2 (id n2): two pins",
    ("--limit", "no unusual grips", "--pin", "2=T 1 | Eb"): "1 in place of 'no unusual grips'",
    ("--limit", "thumb stays in bars 3-4"): "no note of the passage lies in bars 3-4",
    ("--limit", "thumb stays", "--choose", "movers"): "least effort only",
    ("--time-limit", "5"): "--time-limit: this option is for limits",
    ("--limit", "thumb stays", "--time-limit", "0"): "--time-limit: 0 seconds is no time to search",
    ("--rules", "none.toml"): "cannot be read",
}


@pytest.mark.parametrize("words", SLIPS)
def test_each_slip_is_one_clear_message(words: tuple[str, ...]) -> None:
    """Exit code 2, nothing on standard output, no traceback."""
    answer = ask("finger", "--notes", "E6 F#6 G#6", "--tempo", 100, *words)
    assert (answer.code, answer.out) == (2, "")
    assert SLIPS[words] in answer.err
    assert answer.err.count("\n") <= 2


def test_a_figure_that_is_not_proved_is_not_called_the_least() -> None:
    """The message tells the two apart, and one limit alone has no other to drop."""
    route = unproved()
    both = (Least("learn at most 3 grips", 6.0, proved=False), Least("tuning within 8 cents", 9.5))
    message = str(
        conflict_error(route, Conflict(("learn at most 3 grips", "tuning within 8 cents"), (0,), both))
    )
    assert "The least that is possible: 9.5 cents in place of 'tuning within 8 cents'" in message
    assert "Possible: 6 in place of 'learn at most 3 grips' (whether less is was not decided" in message
    assert "Drop or loosen it" in str(conflict_error(route, Conflict(("thumb stays",), (0,))))
    assert "one of them" in str(conflict_error(route, Conflict(("thumb stays", "forbid T (x)"), (0,))))


def test_the_json_says_whether_the_least_is_proved() -> None:
    """Key `least_proved` beside `least`."""
    words = ("finger", "--notes", "E6 F#6", "--tempo", 100, "--limit", "tuning within 1 cents")
    (least,) = ask(*words, "--format", "json").json["limits"]["conflict"]["least"]
    assert least["least_proved"] is True


def unproved() -> Route:
    """A route within limits as it would be if the time had run out."""
    route = solve_within(solver_of(), played(RUN, tempo=100), Wishes(limits=Limits(unusual=2)))
    assert route.limits is not None
    return replace(route, limits=replace(route.limits, proved=False, bound_milli=route.effort_milli - 250))


def test_an_unproved_route_is_called_that() -> None:
    """In the text, and in the remark beside the forms that have no room for it."""
    route = unproved()
    bound = f"{route.effort - 0.25:.2f}"
    assert f"not proved the least: at least {bound} is needed in any case" in limit_lines(route)[0]
    (remark,) = limit_remark(route)
    assert remark.text.startswith(f"limits: not proved the least; effort {route.effort:.2f}, ")
    assert f"no route takes less than {bound}" in remark.text
    assert limit_remark(replace(route, limits=None)) == ()


def test_one_grip_a_figure_is_proved_against_all_routes_only_where_it_costs_nothing() -> None:
    """The proof of the settled route is no proof that no other way to settle takes less."""
    free = solve_within(solver_of(), played(LEAPS, tempo=150), Wishes(limits=Limits(unusual=4)))
    dearer = solve_within(solver_of(), played(LEAPS, tempo=150), Wishes(limits=Limits(unusual=1)))
    assert dearer.effort > free.effort
    assert "limits: proved the least" in limit_remark(free, free)[0].text
    assert f"no route takes less than {free.effort:.2f}" in limit_remark(dearer, free)[0].text


@pytest.mark.parametrize("form", ["csv", "musicxml", "critical"])
def test_forms_without_room_say_what_the_limits_cost_beside_them(form: str) -> None:
    """A remark on standard error; without limits there is none."""
    words = ("finger", REPEATS, "--bars", "1-8", "--format", form)
    assert "remark: limits: " in ask(*words, "--limit", "at most 1 unusual grip").err
    assert "limits" not in ask(*words).err


def test_the_other_notes_of_trills_keep_the_worst_lean_too() -> None:
    """Every note of every ornament leans as little as was asked."""
    trills = RULES.parent / "kettle_trills.musicxml"
    words = ("finger", trills, "--dial", "tuning=0", "--dial", "steadiness=4", "--format", "json")
    free = [n for n in ask(*words).json["notes"] if "ornament" in n]
    answer = ask(*words, "--limit", "no note over 19 cents").json
    notes = [n for n in answer["notes"] if "ornament" in n]
    assert any(abs(each["cents"] or 0) > 19 for n in free for each in n["ornament"]["notes"])
    assert all(abs(each["cents"]) <= 19 for n in notes for each in n["ornament"]["notes"])
    (use,) = answer["limits"]["limits"]
    assert use["used"] == max(abs(e["cents"]) for n in notes for e in n["ornament"]["notes"])
    assert "trills and ornaments too, in ordinary playing" in use["counted"]


@pytest.mark.parametrize("limit", ["tuning within 10 cents", "no note over 10 cents"])
def test_cents_nobody_knows_cannot_be_limited(limit: str) -> None:
    """On a flute without cents the limit is refused, as the trade-off is."""
    answer = ask("finger", PICCOLO, "--instrument", "piccolo", "--limit", limit)
    assert answer.code == 2
    assert f"{limit}: no cents are known of these grips on the piccolo" in answer.err


def test_notes_without_known_cents_are_said_to_be_left_out(tmp_path: Path) -> None:
    """With one reading of your own, all other notes are not counted, and their number is said."""
    player = tmp_path / "me.toml"
    player.write_text('[cents]\nfile = "tuner.csv"\n', encoding="utf-8")
    tuner = "pitch,grip,cents,spread_cents\nE5,T L1 L2 L3 | R1 R2 Eb,4,\n"
    (tmp_path / "tuner.csv").write_text(tuner, encoding="utf-8")
    words = ("finger", "--notes", "D5 E5:1/2 F5", "--tempo", 100, "--instrument", "piccolo")
    answer = ask(*words, "--player", player, "--limit", "tuning within 10 cents")
    assert answer.code == 0, answer.err
    assert "4 of 10 (written notes only" in " ".join(answer.out.split())
    assert "2 notes without known cents not counted" in " ".join(answer.out.split())


def test_rules_that_ask_for_nothing_here_are_said(tmp_path: Path) -> None:
    """For no note, beyond the last bar, for a touch the flute lacks; on standard error and in the JSON."""
    rules = tmp_path / "own.toml"
    rules.write_text(
        '[[rule]]\nwhen = { pitch = "C4" }\nforbid = "R3"\n[[rule]]\nforbid = ["B", "R3"]\n'
        '[[rule]]\nwhen = { bars = "1-9999" }\nprefer = "L3"\n',
        encoding="utf-8",
    )
    answer = ask("finger", FLUTE, "--bars", "10-20", "--rules", rules, "--format", "json")
    texts = [remark["text"] for remark in answer.json["remarks"]]
    for text in (
        "own.toml: rule 1 is for no note here",
        "own.toml: rule 2: forbid B: the concert flute has no B",
        "own.toml: rule 3: bars 1-9999 reach outside the passage",
    ):
        assert text in texts
        assert text in answer.err
    assert not any("R3" in text for text in texts)


def test_a_rule_cannot_require_what_the_flute_lacks(tmp_path: Path) -> None:
    """An error that names the rule and the touch; where one of several is there, only a remark."""
    rules = tmp_path / "own.toml"
    words = ("finger", "--notes", "E6 F#6", "--tempo", 100, "--rules", rules)
    rules.write_text('[[rule]]\nrequire = "Hc"\n', encoding="utf-8")
    answer = ask(*words)
    assert (answer.code, answer.out) == (2, "")
    assert "own.toml: rule 1: requires Hc, which the concert flute has not" in answer.err
    rules.write_text('[[rule]]\nrequire = ["Hc", "Eb"]\n', encoding="utf-8")
    answer = ask(*words)
    assert answer.code == 0
    assert "require Hc: the concert flute has no Hc" in answer.err


@pytest.mark.parametrize("limit", ["tuning within 5 cents", "no note over 1 cents"])
def test_one_impossible_limit_needs_no_search(monkeypatch: pytest.MonkeyPatch, limit: str) -> None:
    """A sum that is plainly too small is refused with the least possible, whatever time there is."""

    def searched(*_: object, **__: object) -> None:
        raise AssertionError("CP-SAT was asked")

    monkeypatch.setattr(feasible, "_GripsTogether", searched)
    answer = ask("finger", "--notes", RUN, "--tempo", 100, "--time-limit", "0.01", "--limit", limit)
    assert answer.code == 2
    assert f"{limit}: no route can keep this. The least that is possible: " in answer.err


def test_limits_on_a_passage_without_grips_are_no_error() -> None:
    """Nothing to limit: the notes are told to have no grip."""
    answer = ask("finger", "--notes", "C2", "--tempo", 100, "--limit", "no note over 9 cents")
    assert answer.code == 1
    assert "1 note without a grip" in answer.out
