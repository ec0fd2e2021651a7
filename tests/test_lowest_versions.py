"""The lowest versions stated are those tried: every package has a task in CI's trial of them."""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TRIED = (ROOT / ".ci" / "lowest_tasks.py").read_text(encoding="utf-8")


def test_every_package_stated_is_tried_at_its_lowest_version() -> None:
    """Dependencies and the extras of users, each with a lowest version that can be installed as it stands."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    of_users = [text for name, extra in extras.items() if name != "dev" for text in extra]
    stated = [*project["dependencies"], *of_users]
    for text in stated:
        name, version = re.fullmatch(r"([a-z0-9-]+)>=([0-9.]+)", text).groups()  # type: ignore[union-attr]
        assert version
        assert f'"{name}"' in TRIED, name


def test_the_trial_runs_in_ci() -> None:
    """What CI runs from a bare machine has the step."""
    assert "step .ci/lowest\n" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
