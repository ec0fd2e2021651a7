"""How long tests wait: no clock decides one, neither theirs nor the tool's own."""

HANG_S = 600.0
"""After so long something has hung, however busy the machine is. It ends a test that would never end."""

HANG_MS = 1000 * HANG_S

UNHURRIED_S = 3600.0
"""What the tool's own times are set to where the answer is tested and not the time: the most there may be."""
