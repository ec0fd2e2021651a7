"""Where the support of the flute changes."""

from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, routed

from gripway.practice.plan.balance import balance_spots


def test_c5_to_d5_is_felt_and_all_its_places_are_told() -> None:
    """The break C5 to D5 (common practice): support goes up on the way, at both places."""
    _, route = routed(played("C5:1/4 D5:1/4 r:1/4 C5:1/4 D5:1/4", 60))
    spots = balance_spots(route, 0.5)
    (up,) = [spot for spot in spots if spot.pitches == ("C5", "D5")]
    assert up.difference > 0
    assert [place.index for place in up.places] == [0, 2]
    assert "land together" in up.watch


def test_the_difference_is_that_of_the_two_supports() -> None:
    """Every spot's figure is the support of the second grip less that of the first, and large enough."""
    _, route = routed(played("(C5 D5 E5 A5 C#6 D6 B5 C6 D#6 C6)", 100))
    spots = balance_spots(route, FIGURES.balance_watch_support)
    assert spots
    for spot in spots:
        a, b = route.notes[spot.places[0].index : spot.places[0].index + 2]
        assert a.candidate is not None
        assert b.candidate is not None
        assert spot.difference == round(b.candidate.support - a.candidate.support, 2)
        assert abs(spot.difference) >= FIGURES.balance_watch_support
    assert [abs(s.difference) for s in spots] == sorted((abs(s.difference) for s in spots), reverse=True)


def test_still_hands_have_no_spots() -> None:
    """G5 and A5, one finger apart, never rock the flute."""
    _, route = routed(played("G5 A5 G5 A5", 60))
    assert balance_spots(route, FIGURES.balance_watch_support) == ()


def test_over_a_rest_the_hands_have_time() -> None:
    """C5 to D5 with a rest between them is no spot."""
    _, route = routed(played("C5:1/8 r:1/8 D5:1/4", 60))
    assert balance_spots(route, 0.5) == ()
