"""Is a month different? The p-chart with months of unequal size, and its run rules."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

RANGE_TO_SIGMA = 1.128  # mean moving range of two normal values, in standard deviations
MONTHS_FOR_SPREAD = 12


@dataclass(frozen=True)
class PChart:
    """Centre, each month's standard deviation by chance, and the spread between the months.

    `sigma_z`: 1 = chance alone; None with fewer than 12 baseline months.
    """

    centre: float
    sigma: NDArray[np.float64]
    sigma_z: float | None

    @property
    def unit(self) -> NDArray[np.float64]:
        """One sigma of the limits: chance alone, widened where the months spread more."""
        return self.sigma * max(1.0, self.sigma_z or 1.0)

    def limits(self) -> tuple[NDArray, NDArray]:
        """Return the lower and upper 3-sigma limit of each month, within 0-1."""
        low, high = self.centre - 3 * self.unit, self.centre + 3 * self.unit
        return np.clip(low, 0, 1), np.clip(high, 0, 1)


def p_chart(k: Sequence[int], n: Sequence[int], baseline: Sequence[bool]) -> PChart | None:
    """Return the chart of k out of n with centre and spread from the baseline months.

    n must be above 0. None when the baseline is empty. Narrower than chance the limits never get:
    so few months can look calm by luck. Source: Shewhart's p-chart; Laney 2002, Qual Eng 14:531.
    """
    hits, jobs, chosen = np.asarray(k, float), np.asarray(n, float), np.asarray(baseline, bool)
    if not chosen.any():
        return None
    centre = hits[chosen].sum() / jobs[chosen].sum()
    sigma = np.sqrt(centre * (1 - centre) / jobs)
    has_spread = chosen.sum() >= MONTHS_FOR_SPREAD and 0 < centre < 1
    spread = laney_sigma(hits[chosen], jobs[chosen]) if has_spread else None
    return PChart(float(centre), sigma, spread)


def laney_sigma(k: Sequence[int], n: Sequence[int]) -> float:
    """Return Laney's sigma_z: mean moving range of the standardised rates over 1.128.

    Needs two or more months and a common rate between 0 and 1.
    """
    hits, jobs = np.asarray(k, float), np.asarray(n, float)
    centre = hits.sum() / jobs.sum()
    z = (hits / jobs - centre) / np.sqrt(centre * (1 - centre) / jobs)
    return float(np.mean(np.abs(np.diff(z))) / RANGE_TO_SIGMA)


def signals(z: Sequence[float], rates: Sequence[float] | None = None) -> list[list[str]]:
    """Return for each month the rules that end in it; `z` in sigma from the centre.

    `rates` are what rises or falls (default z). A value on the centre line is on neither side; a
    value exactly on a limit is not beyond it. Source: Nelson 1984, J Qual Technol 16:237, rules 1,
    2, 3 and 5.
    """
    values = np.asarray(z, float)
    moving = values if rates is None else np.asarray(rates, float)
    rules = {
        "a point beyond 3 sigma": _beyond_three,
        "9 in a row on one side": _nine_on_one_side,
        "2 of 3 beyond 2 sigma": _two_of_three,
    }
    result = []
    for end in range(1, len(values) + 1):
        fired = [name for name, rule in rules.items() if rule(values[:end])]
        if _six_moving(moving[:end]):
            fired.append("6 in a row rising or falling")
        result.append(fired)
    return result


def _beyond_three(z: NDArray) -> bool:
    return bool(abs(z[-1]) > 3)


def _nine_on_one_side(z: NDArray) -> bool:
    last = z[-9:]
    return len(last) == 9 and bool((last > 0).all() or (last < 0).all())


def _six_moving(rates: NDArray) -> bool:
    steps = np.diff(rates[-6:])
    return len(steps) == 5 and bool((steps > 0).all() or (steps < 0).all())


def _two_of_three(z: NDArray) -> bool:
    last, side = z[-3:], np.sign(z[-1])
    return bool(side * z[-1] > 2 and (side * last > 2).sum() >= 2)
