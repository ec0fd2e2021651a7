"""Student's t from the normal distribution."""


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
