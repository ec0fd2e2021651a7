"""The scores of a folder or a list, and their names."""

from pathlib import Path

import pytest

from gripway.errors import RequestError
from gripway.library.score_files import score_files


def touch(*paths: Path) -> None:
    """Empty files."""
    for path in paths:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()


def names(where: Path) -> list[str]:
    """The names of the scores."""
    return [score.name for score in score_files(where).scores]


def test_a_folder_has_the_scores_below_it(tmp_path: Path) -> None:
    """By their endings, in the order of their names; hidden ones and others are passed over."""
    touch(*(tmp_path / name for name in ("b.xml", "a/c.MXL", "a/d.musicxml", ".x/e.xml", ".f.xml", "g.pdf")))
    assert names(tmp_path) == ["a/c.MXL", "a/d.musicxml", "b.xml"]
    assert score_files(tmp_path).passed_over == 1


def test_a_list_names_its_scores_from_its_own_folder(tmp_path: Path) -> None:
    """Remarks and blank lines are passed over, a path counts once, names leave out what all share."""
    touch(tmp_path / "x/a.xml", tmp_path / "x/y/b.xml")
    listed = tmp_path / "list.txt"
    listed.write_text(
        f"# mine\nx/y/b.xml\n\n{tmp_path}/x/a.xml\nx/../x/a.xml\nx/gone.xml\n", encoding="utf-8"
    )
    assert names(listed) == ["a.xml", "gone.xml", "y/b.xml"]


@pytest.mark.parametrize("content", [None, b"", b"# nothing\n", b"\xff\xfe\x00"])
def test_where_there_is_no_score_it_is_said(tmp_path: Path, content: bytes | None) -> None:
    """No such file, an empty list, a list that is no text; a folder without scores, too."""
    listed = tmp_path / "list.txt"
    if content is not None:
        listed.write_bytes(content)
    with pytest.raises(RequestError):
        score_files(listed)
    with pytest.raises(RequestError, match="no score"):
        score_files(tmp_path)


def test_decisions_stand_in_a_folder_like_that_of_the_scores(tmp_path: Path) -> None:
    """SCORE.toml below it, where there is one; a folder that is none is refused."""
    touch(tmp_path / "s/a/x.xml", tmp_path / "s/y.xml", tmp_path / "d/a/x.xml.toml")
    found = score_files(tmp_path / "s", tmp_path / "d").scores
    assert [score.decisions for score in found] == [tmp_path / "d/a/x.xml.toml", None]
    with pytest.raises(RequestError, match="no such folder"):
        score_files(tmp_path / "s", tmp_path / "none")
