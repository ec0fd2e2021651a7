"""Options and fixtures that tests of several rooms share, and a cache folder of their own."""

import gc
import os
import sys
import tempfile
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from tests.tiers import WHOLE, examples

SLOW = (HealthCheck.too_slow,)  # it goes by the clock, and none decides a test
settings.register_profile("search", derandomize=False, deadline=None, suppress_health_check=SLOW)


BENCH = Path(__file__).parent / "bench"
CACHE_HOME, SETTINGS_HOME = "XDG_CACHE_HOME", "XDG_CONFIG_HOME"
SCRATCH = pytest.StashKey[tempfile.TemporaryDirectory[str]]()


def pytest_configure(config: pytest.Config) -> None:
    """Keep out of the user's cache and settings: one folder a session, which workers and processes inherit.

    So what is kept between runs of the tool is worked out once a session. Compiled modules are kept beside
    their sources even where the environment says no: workers and processes share them.
    """
    if "not whole" not in config.option.markexpr:
        os.environ[WHOLE] = "1"
    # the same examples on every run; `--hypothesis-profile=search` looks for new ones
    settings.register_profile(
        "fixed",
        derandomize=True,
        deadline=None,
        suppress_health_check=SLOW,
        max_examples=examples(100),
    )
    if config.getoption("--hypothesis-profile") is None:
        settings.load_profile("fixed")
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    for name in ("GRIPWAY_NO_CACHE", "GRIPWAY_PLAYER"):
        os.environ.pop(name, None)
    if not hasattr(config, "workerinput"):
        config.stash[SCRATCH] = tempfile.TemporaryDirectory(prefix="gripway-tests-")
        os.environ[CACHE_HOME] = os.environ[SETTINGS_HOME] = config.stash[SCRATCH].name


def pytest_unconfigure(config: pytest.Config) -> None:
    """Take the folder away once every worker is done."""
    if SCRATCH in config.stash:
        config.stash[SCRATCH].cleanup()


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Look for no garbage while the tests are collected, and later not among all that stays from then on.

    Looking through it again and again was a seventh of the CPU time of the tests of the command.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """The bench is not even loaded where it is not run."""
    return True if collection_path == BENCH and "not bench" in config.option.markexpr else None


def pytest_runtest_setup(item: pytest.Item) -> None:
    """One solver for all tests that may share it."""
    from tests.kept_solvers import begin

    begin(item)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the flag that rewrites the golden answers."""
    parser.addoption(
        "--rewrite-golden", action="store_true", help="write the golden answers anew in place of comparing"
    )


@pytest.fixture(scope="session")
def rewrite_golden(request: pytest.FixtureRequest) -> bool:
    """Whether the golden answers are to be written anew."""
    return bool(request.config.getoption("--rewrite-golden"))
