"""How well a reading separates condemned from good parts, and the best limit."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import ndtri

from dashboard.stats.bootstrap import percentile_interval
from dashboard.stats.weighted_sample import Counted, on_one_axis

Z95 = float(ndtri(0.975))


@dataclass(frozen=True)
class RocArea:
    """Area under the curve with its 95 % interval."""

    area: float
    low: float
    high: float


@dataclass(frozen=True)
class BestLimit:
    """The limit with the highest Youden J; condemn above it, or below it when not `is_above`."""

    limit: float
    youden: float
    sensitivity: float
    specificity: float
    is_above: bool
    low: float
    high: float


def roc_area(bad: Sequence[float] | Counted, good: Sequence[float] | Counted) -> RocArea | None:
    """Return the chance that a condemned part reads higher than a good one; ties count half.

    Mann–Whitney area; standard error by Hanley & McNeil (Radiology 1982;143:29) with their
    exponential approximation, interval ± 1.96 of it, cut at 0 and 1. Open readings are infinity.
    An area of 0 or 1 has no spread: the interval is then by the rule of three on the smaller group.
    None when either group is empty.
    """
    m, n = len(bad), len(good)
    if m == 0 or n == 0:
        return None
    bad, good = on_one_axis(bad, good)
    up_to = good.counts.cumsum()
    wins = (bad.counts * (2 * up_to - good.counts)).sum() / 2
    area = float(wins / (m * n))
    error = sqrt(max(_variance(area, m, n), 0.0))
    low, high = max(area - Z95 * error, 0.0), min(area + Z95 * error, 1.0)
    spare = min(1.0, 3 / min(m, n))
    if area in (0.0, 1.0):
        low, high = (1 - spare, 1.0) if area else (0.0, spare)
    return RocArea(area, low, high)


def _variance(area: float, m: int, n: int) -> float:
    both_bad, both_good = area / (2 - area), 2 * area**2 / (1 + area)
    spread = area * (1 - area) + (m - 1) * (both_bad - area**2) + (n - 1) * (both_good - area**2)
    return spread / (m * n)


def best_limit(
    bad: Sequence[float] | Counted,
    good: Sequence[float] | Counted,
    seed: int = 1,
    draws: int = 1000,
) -> BestLimit | None:
    """Return the limit that parts condemned and good parts best (Youden 1950), and its interval.

    The side is the one where condemned parts lie more often. The limit is half-way between two
    readings; of equal ones the least condemning is taken. Interval: percentiles over `draws`
    bootstrap shops, each group resampled on its own. None when either group is empty or no finite
    reading can be a limit.
    """
    area = roc_area(bad, good)
    bad, good = on_one_axis(bad, good)
    if area is None or not len(limits := _between(bad.values)):
        return None
    is_above = area.area >= 0.5
    generator = np.random.default_rng(seed)
    shares = [group.counts / len(group) for group in (bad, good)]
    counts = [
        generator.multinomial(len(group), share, size=draws) / len(group)
        for group, share in zip((bad, good), shares, strict=True)
    ]
    at, youden = _highest(shares[0][None], shares[1][None], is_above)
    drawn, _ = _highest(counts[0], counts[1], is_above)
    interval = percentile_interval(limits[drawn])
    assert interval, "wanted 1 draw or more"
    below_bad, below_good = (float(share[: at[0] + 1].sum()) for share in shares)
    hit, kept = (1 - below_bad, below_good) if is_above else (below_bad, 1 - below_good)
    return BestLimit(float(limits[at[0]]), float(youden[0]), hit, kept, is_above, *interval)


def _between(values: np.ndarray) -> np.ndarray:
    """Return the limits between neighbouring values; before open it is the last number itself."""
    left, right = values[:-1], values[1:]
    return np.where(np.isinf(right), left, left / 2 + np.where(np.isinf(right), 0, right) / 2)


def _highest(bad: np.ndarray, good: np.ndarray, is_above: bool) -> tuple[np.ndarray, np.ndarray]:
    """Return for each row of shares the place of the best limit and its Youden J."""
    youden = (good - bad).cumsum(axis=1)[:, :-1]
    youden = youden if is_above else -youden
    best = youden.max(axis=1)
    is_best = youden >= best[:, None] - 1e-12
    last = youden.shape[1] - 1 - is_best[:, ::-1].argmax(axis=1)
    return (last if is_above else is_best.argmax(axis=1)), best
