"""The drawing of the learning curve, and its table."""

import re

import pytest

from gripway.model.grip import Grip
from gripway.page.learning_plot import learning_plot, learning_table
from gripway.route.curve import CurveStep

F_SHARP, D = (78, Grip.parse("T L1 L2 L3 | R2 Eb")), (86, Grip.parse("L1 | Kd Eb"))
STEPS = (
    CurveStep((), 0, 20_000, 20_000, 1.8),
    CurveStep((F_SHARP,), 3, 12_000, 11_000, 1.2),
    CurveStep((F_SHARP, D), 5, 10_000, 10_000, 1.0),
)


def middles(text: str) -> list[tuple[int, int]]:
    """The middles of the round points."""
    return [tuple(map(int, found)) for found in re.findall(r'<circle cx="(\d+)" cy="(\d+)" r="9"', text)]  # type: ignore[misc]


def test_points_go_down_from_left_to_right() -> None:
    """More grips are further right, less effort further down; the answer is a filled square."""
    text = learning_plot(STEPS, 1)
    (square,) = re.findall(r'<rect x="(\d+)" y="(\d+)"', text)
    first, last = middles(text)
    assert first[0] < int(square[0]) < last[0]
    assert first[1] < int(square[1]) < last[1]
    assert all(f">{effort}<" in text for effort in ("20.00", "12.00", "10.00"))


def test_the_stairs_meet_every_point() -> None:
    """The line is level at the height of each point."""
    text = learning_plot(STEPS, None)
    (path,) = re.findall(r'<path d="([^"]+)" class="stairs"', text)
    heights = [int(y) for y in re.findall(r"M\d+ (\d+)|V(\d+)", path) for y in y if y]
    assert heights == [y for _, y in middles(text)]


def test_only_what_is_not_proved_has_a_line_to_its_bound() -> None:
    """One point here; its line goes down."""
    text = learning_plot(STEPS, 0)
    found = re.findall(r'<path d="M(\d+) (\d+)V(\d+)m-6 0h12"', text)
    assert len(found) == 1
    assert int(found[0][2]) > int(found[0][1])


def test_points_can_be_chosen_where_that_is_asked_for() -> None:
    """Each is then a button with its number, reached by keyboard and named in words; else none is."""
    text = learning_plot(STEPS, 1, choosable=True)
    assert re.findall(r'data-learn="(\d)"', text) == ["0", "1", "2"]
    assert re.findall(r'aria-pressed="(\w+)"', text) == ["false", "true", "false"]
    assert text.count('tabindex="0"') == 3
    assert 'aria-label="1 grip to learn: effort 12.00"' in text
    assert "data-learn" not in learning_plot(STEPS, 1)


@pytest.mark.parametrize("steps", [STEPS[:1], (STEPS[0], CurveStep((D,) * 12, 30, 19_999, 19_999, 1.0))])
def test_one_point_or_far_ones_are_drawn_too(steps: tuple[CurveStep, ...]) -> None:
    """Everything stays within the drawing."""
    for x, y in middles(learning_plot(steps, None)):
        assert 0 <= x <= 520
        assert 0 <= y <= 280


def test_the_table_has_every_figure() -> None:
    """Effort with its bound where it is not proved, what each step saves, its grips; the answer is named."""
    text = learning_table(STEPS, 2)
    assert text.count("<tr>") == 4
    assert "12.00 (at least 11.00)" in text
    assert ">8.00<" in text
    assert "F#5 T 1 2 3 | 2 Eb" in text
    assert "2 (the answer)" in text
