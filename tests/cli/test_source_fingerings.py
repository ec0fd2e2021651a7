"""Fingerings already in a score: never touched, kept where they can be, and checked."""

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from tests.cli.run_gripway import Answer, ask
from tests.cli.tiny_scores import fingering, note, part, score

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.tasks import fingerings

QUICK = ("--tempo", "300")
"""So quick that an overblown grip may stand."""


def fingered(mark: str, *words: object) -> Answer:
    """The answer to a score whose second note, F#6, has this fingering."""
    cell = note("E6") + note("F#6", inside=fingering(mark)) + note("G6")
    return ask("finger", "-", "--tempo", "60", *words, stdin=score(part(cell)))


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        ("2", "the fingering '2' of F#6 is left as it is: it does not read as a grip"),
        ("T 1 2 | 3 Eb", "the fingering of F#6 cannot be kept: T 1 2 | 3 Eb is no grip of F#6"),
        ("T 1 | Eb", "the fingering T 1 | Eb of F#6 is for notes in motion, not for this one"),
    ],
)
@pytest.mark.parametrize("keep", [(), ("--keep-fingerings",)])
def test_a_fingering_is_checked(mark: str, said: str, keep: tuple[str, ...]) -> None:
    """Said with its bar, kept or not, and the answer comes all the same."""
    answer = fingered(mark, *keep)
    assert answer.code == 0
    assert f"remark: bar 1: {said}" in answer.err


def test_the_json_has_the_remarks_on_fingerings() -> None:
    """With bar and note."""
    remarks = fingered("2", "--format", "json").json["remarks"]
    (mine,) = (remark for remark in remarks if "fingering" in remark["text"])
    assert (mine["bar"], mine["id"]) == ("1", "P1-n2")


def test_what_a_fingering_costs_more_is_told_with_cents() -> None:
    """Against the grip the search would choose, by its own runner-up."""
    found = fingered("T 1 | Eb", *QUICK)
    line = next(line for line in found.err.splitlines() if "takes" in line)
    chosen = fingered("T 1 | Eb", *QUICK, "--format", "json").json["notes"][1]
    other = next(each for each in chosen["others"] if each["grip"] == "T L1 | Eb")
    assert f"takes {other['effort_more']:.2f} more effort" in line
    assert f"{other['cents']:+.0f} cents against {chosen['cents']:+.0f}" in line


def test_a_fingering_the_search_would_choose_is_no_matter() -> None:
    """Nothing is said."""
    chosen = fingered("2", "--format", "json").json["notes"][1]["grip"]
    assert "fingering" not in fingered(chosen).err


def test_a_fingering_hardly_dearer_is_no_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Below mark_least_gain_effort nothing is said; from it on it is."""
    other = fingered("2", "--format", "json").json["notes"][1]["others"][0]
    for least, said in ((other["effort_more"] + 0.001, False), (other["effort_more"], True)):
        tables = replace(
            effort_tables(), figures=replace(effort_tables().figures, mark_least_gain_effort=least)
        )
        monkeypatch.setattr(fingerings, "effort_tables", lambda tables=tables: tables)
        assert ("more effort than" in fingered(other["grip"]).err) == said


def test_kept_fingerings_are_played_others_not() -> None:
    """A grip of the note becomes a pin; one that is none cannot."""
    kept = fingered("T 1 | Eb", "--keep-fingerings", "--format", "json").json["notes"][1]
    assert kept["grip"] == "T L1 | Eb"
    assert fingered("T 1 2 | 3 Eb", "--keep-fingerings", "--format", "json").json["notes"][1]["grip"]


def test_a_fingering_is_never_touched() -> None:
    """Whatever it says, it stays the only one of its note."""
    data = fingered("2", "--format", "musicxml", "--mark", "every").data
    texts = [[each.text for each in note.iter("fingering")] for note in ET.fromstring(data).iter("note")]
    assert texts[1] == ["2"]
    assert all(len(each) == 1 for each in texts)
