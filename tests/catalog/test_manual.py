"""The manual: every file is a topic, and one that is not made like a topic is refused."""

from pathlib import Path

import pytest

from gripway.catalog import manual
from gripway.catalog.tables.csv_table import REPORT
from gripway.errors import TableError


def read_from(folder: Path, monkeypatch: pytest.MonkeyPatch, **texts: str) -> dict[str, manual.Topic]:
    """The topics of a folder with these files."""
    for name, text in texts.items():
        (folder / f"{name}.md").write_text(text, encoding="utf-8")
    monkeypatch.setattr(manual, "manual_folder", lambda: folder)
    return dict(manual.topics.__wrapped__())


def test_a_topic_has_title_example_and_commands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first line is the title, the second the example; headings with a command name it."""
    text = "# Two ends\n\nTry: `gripway ends --both`\n\n## `gripway ends A` or `gripway ends B`\n\n## More\n"
    topics = read_from(tmp_path, monkeypatch, second=text, first=text)
    assert list(topics) == ["first", "second"]
    assert topics["second"] == manual.Topic(
        "second", "Two ends", "gripway ends --both", frozenset({"ends"}), text
    )


@pytest.mark.parametrize("text", ["", "Two ends\n", "# Two ends\n", "# Two ends\n\nTry it: `gripway`\n"])
def test_a_file_without_its_head_is_refused(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error names the file and says that the fault is ours."""
    with pytest.raises(TableError) as refused:
        read_from(tmp_path, monkeypatch, ends=text)
    assert (refused.value.place, refused.value.next_step) == ("ends.md", REPORT)


def test_a_file_that_is_no_text_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Bytes that are no UTF-8 are a fault of the manual, not a traceback."""
    (tmp_path / "odd.md").write_bytes(b"\xff\xfe")
    with pytest.raises(TableError, match="cannot be read"):
        read_from(tmp_path, monkeypatch)
