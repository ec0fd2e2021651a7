"""`--limit`, `--rules` and `--time-limit`: what they answer, and what each slip is answered with."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask

RUN = "(E6 F#6 G#6 A6) (B6 A6 G#6 F#6) E6:1/4 F6 F#6 G#6 A6"
RULES = Path(__file__).parents[2] / "examples" / "rules.toml"


def test_the_text_says_what_the_limits_cost() -> None:
    """The cost against the route without limits, the proof, and how far each limit is used."""
    answer = ask("finger", "--notes", RUN, "--tempo", 100, "--limit", "at most 2 unusual grips")
    free = ask("finger", "--notes", RUN, "--tempo", 100, "--format", "json").json["effort"]
    limited = ask(
        *("finger", "--notes", RUN, "--tempo", 100, "--format", "json", "--limit", "at most 2 unusual grips")
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
    ("--limit", "tuning within -1 cents"): "-1 is no limit",
    ("--limit", "thumb stays in bars 3-4"): "no note of the passage lies in bars 3-4",
    ("--limit", "thumb stays", "--choose", "movers"): "least effort only",
    ("--time-limit", "5"): "--time-limit: this option is for limits",
    ("--limit", "thumb stays", "--time-limit", "0"): "no time to search",
    ("--rules", "none.toml"): "cannot be read",
}


@pytest.mark.parametrize("words", SLIPS)
def test_each_slip_is_one_clear_message(words: tuple[str, ...]) -> None:
    """Exit code 2, nothing on standard output, no traceback."""
    answer = ask("finger", "--notes", "E6 F#6 G#6", "--tempo", 100, *words)
    assert (answer.code, answer.out) == (2, "")
    assert SLIPS[words] in answer.err
    assert answer.err.count("\n") <= 2
