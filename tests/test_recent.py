"""Things used last: how many stay, and which goes."""

from gripway.recent import Recent


def test_the_one_unused_for_longest_goes() -> None:
    """Of two places a third thing takes that of the one unused for longest; what is kept is not made anew."""
    made: list[str] = []

    def make(name: str) -> str:
        made.append(name)
        return name

    kept: Recent[str] = Recent(2)
    for name in "abaca":
        assert kept.get_or(name, lambda name=name: make(name)) == name  # type: ignore[misc]
    assert made == ["a", "b", "c"]
    assert list(kept) == ["c", "a"]
