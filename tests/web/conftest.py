"""Requests of this room have the time they need."""

import pytest
from tests.patience import UNHURRIED_S

from gripway.web import asking, turns


@pytest.fixture(autouse=True)
def unhurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """No request is late, no search under limits is cut short."""
    monkeypatch.setattr(turns, "MOST_SECONDS", UNHURRIED_S)
    monkeypatch.setattr(asking, "LIMIT_SECONDS", UNHURRIED_S)
