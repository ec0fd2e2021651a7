"""Which note sounds, where nobody has said it: the highest pitch whose partials explain the peaks."""

import numpy as np

from gripway.listening.spectra import Array, Spectra

LOWEST_HZ, HIGHEST_HZ = 100.0, 5000.0
"""From below the bass flute to above the piccolo."""

MOST_PEAKS = 12
FAINTEST = 10.0**-3.5
"""Power of the faintest peak looked at, of the strongest (judgement)."""

NEAR_SHARE = 0.04
"""A peak is a partial where it lies within this share of the fundamental of one (judgement)."""

EXPLAINED_SHARE = 0.8
"""Of the best explanation; a pitch that explains this much and is higher is the note (judgement)."""


def heard_hz(found: Spectra) -> float | None:
    """The pitch that sounds throughout the spectra, within a few cents; None where no peak stands out.

    Peaks count by the fourth root of their power, so that the weak odd partials of a low note speak
    against its octave.
    """
    mean = found.power.mean(axis=0)
    peaks, sizes = _peaks(mean, found)
    if not len(peaks):
        return None
    explained = np.array([_explained(pitch, peaks, sizes) for pitch in peaks])
    good = peaks[explained >= EXPLAINED_SHARE * explained.max()]
    good = good[(good >= LOWEST_HZ) & (good <= HIGHEST_HZ)]
    return float(good.max()) if len(good) else None


def _peaks(power: Array, found: Spectra) -> tuple[Array, Array]:
    """Frequencies and fourth roots of power of the peaks, strongest first."""
    part = power[found.bins(LOWEST_HZ, 4 * HIGHEST_HZ)]
    start = found.bins(LOWEST_HZ, 4 * HIGHEST_HZ).start
    reach = max(round(found.lobe_hz / found.bin_hz), 1)
    windows = np.lib.stride_tricks.sliding_window_view(np.pad(part, reach), 2 * reach + 1)
    top = (part >= windows.max(axis=1)) & (part > FAINTEST * part.max())
    places = np.flatnonzero(top)
    places = places[np.argsort(-part[places], kind="stable")][:MOST_PEAKS]
    places = places[(places > 0) & (places < len(part) - 1)]
    below, here, above = (np.log(part[places + step] + 1e-300) for step in (-1, 0, 1))
    bend = np.minimum(below - 2.0 * here + above, -1e-12)
    return (start + places + 0.5 * (below - above) / bend) * found.bin_hz, part[places] ** 0.25


def _explained(pitch_hz: float, peaks: Array, sizes: Array) -> float:
    """How much of the peaks are partials of a pitch."""
    number = np.maximum(np.rint(peaks / pitch_hz), 1.0)
    near = np.abs(peaks - number * pitch_hz) <= NEAR_SHARE * pitch_hz
    return float(sizes[near].sum())
