"""Student's t from the normal distribution."""

from statistics import NormalDist


def student_t(normal: float, freedom: float) -> float:
    """The quantile of Student's t that lies where `normal` lies among those of the normal distribution.

    Expansion by Fisher and Cornish (Abramowitz and Stegun, 1964, 26.7.5); from 3 degrees on within 1 %.

    >>> round(student_t(1.645, 6), 2)
    1.94
    """
    z, n = normal, freedom
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / n + second / n**2 + third / n**3


def student_95(freedom: float, share: float = 0.95) -> float:
    """The point below which Student's t lies in 19 of 20 cases, or another share of them.

    Nine in ten lie within it on both sides.
    """
    return student_t(NormalDist().inv_cdf(share), freedom)
