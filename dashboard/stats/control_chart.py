"""Is a month different? The p-chart with months of unequal size, and its run rules."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dashboard.stats.binomial import smallest_above

RANGE_TO_SIGMA = 1.128  # mean moving range of two normal values, in standard deviations
MONTHS_FOR_SPREAD = 12
BEYOND_3_SIGMA = 0.00135  # chance of a normal value on one side


@dataclass(frozen=True)
class PChart:
    """For each month its centre, standard deviation by chance, spread between months, and jobs.

    `sigma_z`: 1 = chance alone; NaN with fewer than 12 baseline months. `centre` is NaN where the
    baseline holds no other month.
    """

    centre: NDArray[np.float64]
    sigma: NDArray[np.float64]
    sigma_z: NDArray[np.float64]
    jobs: NDArray[np.float64]

    @property
    def unit(self) -> NDArray[np.float64]:
        """One sigma of the limits: chance alone, widened where the months spread more."""
        return self.sigma * np.fmax(1.0, self.sigma_z)

    def three_sigma(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the lower and upper limit of the textbooks for each month, not clipped to 0-1."""
        return self.centre - 3 * self.unit, self.centre + 3 * self.unit

    def limits(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the limits of each month, within 0-1: 3 sigma, and no count that is less rare.

        At 85% and 20 jobs chance goes below 3 sigma five times as often as a normal value would, so
        the limit is moved to the count that it reaches in at most 0.135% (exact binomial).
        """
        low, high = self._unclipped()
        return np.clip(low, 0, 1), np.clip(high, 0, 1)

    def z(self, rates: ArrayLike) -> NDArray[np.float64]:
        """Return how far each rate lies from the centre: 3 is its limit on that side."""
        away = np.asarray(rates, float) - self.centre
        low, high = self._unclipped()
        reach = np.where(away < 0, self.centre - low, high - self.centre)
        return 3 * np.divide(away, reach, where=reach > 0, out=np.zeros(len(away)))

    def _unclipped(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        low, high = self.three_sigma()
        known = np.nan_to_num(self.centre, nan=0.5)
        lowest = smallest_above(BEYOND_3_SIGMA, self.jobs, known)
        highest = self.jobs - smallest_above(BEYOND_3_SIGMA, self.jobs, 1 - known)
        return np.minimum(low, lowest / self.jobs), np.maximum(high, highest / self.jobs)


def p_chart(k: ArrayLike, n: ArrayLike, baseline: ArrayLike) -> PChart | None:
    """Return the chart of k out of n with centre and spread from the baseline months.

    A month of the baseline is judged by the others of it: a bad month must not widen its own
    limits. n must be above 0. None when the baseline is empty. The limits never get narrower than
    chance: few months can look calm by luck. Source: Shewhart's p-chart; Laney 2002, Qual Eng
    14:531; a month left out of its own baseline: as deleted residuals in regression.
    """
    hits, jobs, chosen = np.asarray(k, float), np.asarray(n, float), np.asarray(baseline, bool)
    if not chosen.any():
        return None
    own_hits, own_jobs = np.where(chosen, hits, 0), np.where(chosen, jobs, 0)
    others = own_jobs.sum() - own_jobs
    centre = np.divide(
        own_hits.sum() - own_hits, others, out=np.full(len(hits), np.nan), where=others > 0
    )
    sigma = np.sqrt(centre * (1 - centre) / jobs)
    return PChart(centre, sigma, _spread(hits, jobs, chosen), jobs)


def _spread(
    hits: NDArray[np.float64], jobs: NDArray[np.float64], chosen: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return sigma_z of the baseline for each month, the month itself left out."""
    places = np.flatnonzero(chosen)
    result = np.full(len(hits), np.nan)
    if len(places) < MONTHS_FOR_SPREAD:
        return result
    result[:] = laney_sigma(hits[places], jobs[places])
    for place in places:
        others = places[places != place]
        result[place] = laney_sigma(hits[others], jobs[others])
    return result


def laney_sigma(k: ArrayLike, n: ArrayLike) -> float:
    """Return Laney's sigma_z: mean moving range of the standardised rates over 1.128.

    Needs two or more months; NaN where the common rate is 0 or 1.
    """
    hits, jobs = np.asarray(k, float), np.asarray(n, float)
    centre = hits.sum() / jobs.sum()
    if not 0 < centre < 1:
        return float("nan")
    z = (hits / jobs - centre) / np.sqrt(centre * (1 - centre) / jobs)
    return float(np.mean(np.abs(np.diff(z))) / RANGE_TO_SIGMA)


def signals(z: ArrayLike, rates: ArrayLike | None = None) -> list[list[str]]:
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


def _beyond_three(z: NDArray[np.float64]) -> bool:
    return bool(abs(z[-1]) > 3)


def _nine_on_one_side(z: NDArray[np.float64]) -> bool:
    last = z[-9:]
    return len(last) == 9 and bool((last > 0).all() or (last < 0).all())


def _six_moving(rates: NDArray[np.float64]) -> bool:
    steps = np.diff(rates[-6:])
    return len(steps) == 5 and bool((steps > 0).all() or (steps < 0).all())


def _two_of_three(z: NDArray[np.float64]) -> bool:
    last, side = z[-3:], np.sign(z[-1])
    return bool(side * z[-1] > 2 and (side * last > 2).sum() >= 2)
