"""Observed against expected counts: is a group worse than its own mix of work explains?"""

from dataclasses import dataclass
from math import sqrt

from scipy.special import gammaincinv, ndtri

EXACT_BELOW = 5  # Byar's approximation is good from here on


@dataclass(frozen=True)
class Ratio:
    """Observed over expected with its limits; 1 = as the shop's rates would give."""

    value: float
    low: float
    high: float


def poisson_limits(observed: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return the limits of a count's true mean: exact under 5, Byar's approximation from 5 on.

    Source: Breslow & Day 1987, Statistical Methods in Cancer Research II (Byar); the exact ones
    from the chi-square distribution (Garwood 1936). Raises ValueError for a negative count.
    """
    if observed < 0:
        raise ValueError(f"observed count {observed}, wanted 0 or more")
    if observed < EXACT_BELOW:
        return exact_limits(observed, confidence)
    z = float(ndtri(0.5 + confidence / 2))
    more = observed + 1
    low = observed * (1 - 1 / (9 * observed) - z / (3 * sqrt(observed))) ** 3
    high = more * (1 - 1 / (9 * more) + z / (3 * sqrt(more))) ** 3
    return low, high


def exact_limits(observed: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return the exact Poisson limits of a count; 0 gives a low limit of 0."""
    tail = (1 - confidence) / 2
    low = gammaincinv(observed, tail) if observed else 0.0
    return float(low), float(gammaincinv(observed + 1, 1 - tail))


def observed_over_expected(
    observed: int, expected: float, confidence: float = 0.95
) -> Ratio | None:
    """Return the ratio with its limits; None when nothing was expected."""
    if expected <= 0:
        return None
    low, high = poisson_limits(observed, confidence)
    return Ratio(observed / expected, low / expected, high / expected)
