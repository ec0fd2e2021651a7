"""The plot of tempos reached."""

from xml.etree import ElementTree

from gripway.page.sheet.practice_plot import MOST_POINTS, tempo_plot
from gripway.page.sheet.sheet_model import TempoPoint


def test_higher_tempos_stand_higher_and_later_ones_to_the_right() -> None:
    """One disc an entry; the tempo of the part is a broken line above them all, and named."""
    points = [TempoPoint("2026-01-03", 60), TempoPoint("2026-01-04", 72), TempoPoint("2026-01-05", 66)]
    root = ElementTree.fromstring(tempo_plot(points, 96))
    discs = [(float(disc.get("cx", "")), float(disc.get("cy", ""))) for disc in root.findall("circle")]
    assert [x for x, _ in discs] == sorted(x for x, _ in discs)
    heights = [-y for _, y in discs]
    assert heights[1] > heights[2] > heights[0]
    (aim,) = [line for line in root.findall("path") if line.get("class") == "aim"]
    assert float(aim.get("d", "").split()[1].split("H")[0]) < min(y for _, y in discs)
    assert {text.text for text in root.findall("text")} >= {"96", "48", "66", "01-03", "01-05"}
    assert "60 on 2026-01-03, 72 on 2026-01-04" in root.get("aria-label", "")


def test_of_many_entries_the_last_are_shown() -> None:
    """A long log keeps the plot readable."""
    points = [TempoPoint(f"day {k}", 50 + k) for k in range(40)]
    root = ElementTree.fromstring(tempo_plot(points, 120))
    assert len(root.findall("circle")) == MOST_POINTS


def test_a_tempo_above_the_part_stays_inside() -> None:
    """Who plays faster than the part is drawn too; so is a single entry."""
    root = ElementTree.fromstring(tempo_plot([TempoPoint("d", 200)], 96))
    assert float(root.findall("circle")[0].get("cy", "")) > 0


def test_no_figure_is_printed_over_another() -> None:
    """The last tempo at the bottom stays above the days; at the top it stays under the target's figure."""
    for tempo in (48, 96):
        points = [TempoPoint("2026-01-03", 60), TempoPoint("2026-01-04", tempo)]
        root = ElementTree.fromstring(tempo_plot(points, 96))
        high = {(text.text, text.get("class")): float(text.get("y", "")) for text in root.findall("text")}
        assert high["01-04", None] - high[str(tempo), "strong"] >= 10
        assert high[str(tempo), "strong"] - high["96", None] >= 10
