"""Flags as words and as values."""

from tests.oracles.flutes import solver_of
from tests.oracles.passages import played

from gripway.route.route_data import route_data


def test_every_flag_has_its_values_beside_its_words() -> None:
    """Word for word, in their order; a lean tells the cents, spread and source that stand in the words."""
    data = route_data(solver_of().solve(played("ff G#6:1/2 pp C#6:1/2 (E6 F#6) B6 F7", 96.0)))
    seen = set()
    for note in data["notes"]:
        assert len(note["flags"]) == len(note["flag_values"])
        for words, value in zip(note["flags"], note["flag_values"], strict=True):
            seen.add(value["kind"])
            assert list(value) == ["kind", "cents", "spread", "source"]
            if value["kind"] == "lean":
                assert (
                    f"{'sharp' if value['cents'] > 0 else 'flat'} by about {abs(value['cents']):.0f}" in words
                )
                assert f"±{value['spread']:.0f} cents" in words
                assert f"({value['source']}" in words
            elif value["kind"] == "response":
                assert words.startswith("response: ")
    assert {"lean", "response", "no grip"} <= seen
