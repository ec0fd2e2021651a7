"""The plot of effort against tuning."""

import re

import pytest

from gripway.page.report.tradeoff_plot import PlotPoint, tradeoff_plot

POINTS = (PlotPoint(10.0, 8.0, "a <b>"), PlotPoint(12.0, 4.0, chosen=True), PlotPoint(30.0, 2.0))


def test_points_are_numbered_where_they_belong() -> None:
    """More effort is further right, more cents further up; the answer is square; a table has all figures."""
    text = tradeoff_plot(POINTS)
    discs = [tuple(map(int, found)) for found in re.findall(r'<circle cx="(\d+)" cy="(\d+)"', text)]
    (square,) = re.findall(r'<rect x="(\d+)" y="(\d+)"', text)
    assert discs[0][0] < int(square[0]) + 12 < discs[1][0]
    assert discs[0][1] < int(square[1]) + 12 < discs[1][1]
    assert text.count("<tr>") == 4
    assert "a &lt;b&gt;" in text
    assert "the answer above" in text


@pytest.mark.parametrize(
    "points", [POINTS[:1], (PlotPoint(0.0, 0.0), PlotPoint(0.0, 0.0)), (PlotPoint(1e4, 0.01),) * 2]
)
def test_one_point_or_equal_ones_are_drawn_too(points: tuple[PlotPoint, ...]) -> None:
    """Axes have a length whatever the figures."""
    text = tradeoff_plot(points)
    assert "nan" not in text
    for x in re.findall(r'cx="(-?\d+)"', text):
        assert 0 <= int(x) <= 640
