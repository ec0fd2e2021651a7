"""Options and fixtures that tests of several rooms share."""

import pytest
from hypothesis import settings

settings.register_profile("fixed", derandomize=True, deadline=None)
settings.register_profile("search", derandomize=False, deadline=None)
settings.load_profile(
    "fixed"
)  # the same examples on every run; `--hypothesis-profile=search` looks for new ones


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the flag that rewrites the golden answers."""
    parser.addoption(
        "--rewrite-golden", action="store_true", help="write the golden answers anew in place of comparing"
    )


@pytest.fixture(scope="session")
def rewrite_golden(request: pytest.FixtureRequest) -> bool:
    """Whether the golden answers are to be written anew."""
    return bool(request.config.getoption("--rewrite-golden"))
