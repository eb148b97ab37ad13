"""Groups of one kind of work that take different times: are they two kinds of work?"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

LEAST_JOBS = 5  # of a group: fewer say nothing of it


@dataclass(frozen=True)
class Split:
    """Groups parted into quick and slow ones: positions, chance, and how much slower.

    `p_value`: that all groups take alike times (Kruskal & Wallis 1952). `ratio` of the typical
    times with its 95 % interval: the parting is chosen on one half of the jobs and measured on the
    other, both ways, so choosing the parting does not exaggerate it; with few times per group it
    leans toward 1.
    """

    quick: tuple[int, ...]
    slow: tuple[int, ...]
    p_value: float
    ratio: float
    low: float
    high: float


def split_groups(groups: Sequence[NDArray[np.float64]], seed: int = 0) -> Split | None:
    """Return how groups of times (above 0) fall into two; None with fewer than two to compare.

    Only groups of at least five times are compared. Positions are those of `groups`.
    """
    from scipy.stats import kruskal  # half a second: only where models are compared

    places = [i for i, each in enumerate(groups) if len(each) >= LEAST_JOBS]
    logs = [np.log(np.asarray(groups[i], float)) for i in places]
    if len(places) < 2 or np.ptp(np.concatenate(logs)) == 0:
        return None
    p_value = float(kruskal(*logs).pvalue)
    quick = _quick(logs)
    halves = _halves(logs, np.random.default_rng(seed))
    found = [_difference(halves[1 - i], _quick(halves[i])) for i in (0, 1)]
    mean = sum(each[0] for each in found) / 2
    error = sum(sqrt(each[1]) for each in found) / 2  # as if both ways erred together
    freedom = max(sum(len(each) for each in logs) - 4, 1)
    reach = float(stdtrit(freedom, 0.975)) * error
    return Split(
        tuple(places[i] for i in sorted(quick)),
        tuple(places[i] for i in range(len(places)) if i not in quick),
        p_value,
        exp(mean),
        exp(mean - reach),
        exp(mean + reach),
    )


def _halves(
    logs: list[NDArray[np.float64]], generator: np.random.Generator
) -> list[list[NDArray[np.float64]]]:
    """Return two halves of every group, drawn at random."""
    mixed = [generator.permutation(each) for each in logs]
    return [[each[i::2] for each in mixed] for i in (0, 1)]


def _quick(logs: list[NDArray[np.float64]]) -> set[int]:
    """Return the quick groups of the parting that leaves least variance within both sides.

    The best parting keeps the order of the means (Fisher 1958, J Am Stat Assoc 53:789).
    """
    sizes = np.array([len(each) for each in logs], float)
    means = np.array([each.mean() for each in logs])
    order = np.argsort(means, kind="stable")
    n, total = sizes[order], (sizes * means)[order]
    left_n, left = n.cumsum()[:-1], total.cumsum()[:-1]
    between = left**2 / left_n + (total.sum() - left) ** 2 / (n.sum() - left_n)
    return set(order[: int(between.argmax()) + 1].tolist())


def _difference(logs: list[NDArray[np.float64]], quick: set[int]) -> tuple[float, float]:
    """Return how much longer the slow groups take, in logs, and the variance of that (Welch)."""
    sides = [
        np.concatenate([each for i, each in enumerate(logs) if (i in quick) == is_quick])
        for is_quick in (True, False)
    ]
    variance = sum(float(side.var(ddof=1)) / len(side) if len(side) > 1 else 1.0 for side in sides)
    return float(sides[1].mean() - sides[0].mean()), variance
