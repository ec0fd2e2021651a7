"""The atlas of every hole pattern: CPU time, peak memory, and its rate beside openwind's in one run."""

import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from tests.acoustics.flute import flute, tube_of
from tests.acoustics.openwind_flute import openwind_impedance
from tests.bench.clock import in_turn

from gripway.acoustics.atlas import atlas, grid, open_holes, reachable_patterns

pytestmark = pytest.mark.bench

FLUTE = flute()
TUBE = tube_of(FLUTE)
PATTERNS = reachable_patterns(FLUTE)

IMPORTS_ONLY = "import tests.acoustics.flute"
WHOLE_ATLAS = """
from tests.acoustics.flute import flute, tube_of
from gripway.acoustics.atlas import atlas, reachable_patterns
instrument = flute()
atlas(instrument, tube_of(instrument), reachable_patterns(instrument))
"""
PEAK = """
import re
print(re.search(r"VmHWM:\\s+(\\d+) kB", open("/proc/self/status").read())[1])
"""
"""The peak the kernel kept for this program alone; ru_maxrss would hold the parent's as well (Linux only)."""


def cpu(call: Callable[[], object]) -> float:
    """CPU seconds of one call in this process, all threads."""
    start = time.process_time()
    call()
    return time.process_time() - start


def peak_mb(code: str) -> float:
    """Peak memory of a fresh Python that runs some code."""
    printed = subprocess.check_output([sys.executable, "-c", code + PEAK], text=True)
    return float(printed) / 1024.0


def test_the_atlas_beside_openwind() -> None:
    """Both compute; the bench prints grip-frequencies a CPU second and their ratio."""
    freq_hz = grid()
    opened = open_holes(FLUTE, TUBE, PATTERNS[-1:])[0]
    found: dict[str, np.ndarray] = {}
    timed = in_turn(
        5,
        lambda: cpu(lambda: found.update(own=atlas(FLUTE, TUBE, PATTERNS).numbers)),
        lambda: cpu(lambda: found.update(peer=openwind_impedance(freq_hz, TUBE, opened))),
        lambda: cpu(lambda: reachable_patterns(FLUTE)),
    )
    own, peer, _ = timed.seconds
    rate, peer_rate = len(PATTERNS) * len(freq_hz) / own, len(freq_hz) / peer
    print(
        f"\nbench: atlas of {len(PATTERNS)} patterns x {len(freq_hz)} frequencies {1000 * own:8.1f} ms CPU",
        end="",
    )
    print(f"\nbench: its patterns from the fingers {1000 * timed.seconds[2]:8.1f} ms CPU", end="")
    print(f"\nbench: grip-frequencies a CPU second {rate:12.0f}, openwind {peer_rate:8.0f}", end="")
    print(f"   ratio {len(PATTERNS) * timed.ratios[1]:6.0f}", end="")
    assert found["own"].shape[0] == len(PATTERNS)
    assert found["peer"].shape == freq_hz.shape


def test_memory_of_the_atlas() -> None:
    """A fresh process builds it; the bench prints its peak beside that of the imports alone."""
    if not Path("/proc/self/status").exists():
        pytest.skip("the peak is read from /proc, which only Linux has")
    whole, bare = peak_mb(WHOLE_ATLAS), peak_mb(IMPORTS_ONLY)
    print(f"\nbench: peak memory with the whole atlas {whole:6.0f} MB, imports alone {bare:6.0f} MB", end="")
    assert whole >= bare > 0.0


def test_cpu_of_a_fresh_process() -> None:
    """A fresh process builds it; the bench prints user and system time with all imports."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", WHOLE_ATLAS], check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    print(f"\nbench: a fresh process with the whole atlas {1000 * seconds:8.1f} ms CPU", end="")
    assert seconds > 0.0
