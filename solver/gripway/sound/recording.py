"""A recording in memory: one channel of samples and how many there are in a second."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Recording:
    """What a microphone heard.

    `samples` has shape (n,), float64, within -1 to 1 at full scale (several channels are mixed to one);
    `rate_hz` samples make a second; `clipped_share` is the share of samples at full scale; `source` names
    the file in messages.
    """

    samples: NDArray[np.float64]
    rate_hz: int
    clipped_share: float = 0.0
    source: str = ""

    @property
    def length_s(self) -> float:
        """How long it is, in seconds."""
        return len(self.samples) / self.rate_hz
