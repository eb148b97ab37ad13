"""Demand for one part per van and restock period, and what a stock of it covers."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import betainc, pdtr, pdtrc

DISPERSED_FROM = 1.2  # variance over mean above which demand comes in clumps


@dataclass(frozen=True)
class PartDemand:
    """Units wanted per period: Poisson, or negative binomial where `variance` says clumps."""

    mean: float
    variance: float
    periods: int

    @property
    def is_clumped(self) -> bool:
        return self.variance > DISPERSED_FROM * self.mean

    def chance_at_most(self, units: int) -> float:
        """Return the chance that a period wants no more than `units`."""
        return float(self._chances(units))

    def share_covered(self, most: int) -> np.ndarray:
        """Return the expected share of wanted units covered by a stock of 0, 1, ... `most`.

        E min(demand, stock) / mean: each further unit covers less than the one before. No demand:
        a stock of 1 or more covers all.
        """
        if self.mean == 0:
            share: np.ndarray = np.minimum(np.arange(most + 1.0), 1)
            return share
        used = np.cumsum(self._chances(np.arange(most), is_above=True))
        share = np.minimum(np.concatenate([[0.0], used / self.mean]), 1)
        return share

    def _chances(self, units: np.ndarray | int, is_above: bool = False) -> np.ndarray:
        """Return the chance of at most, or above, so many units.

        Negative binomial: the incomplete beta function I(p; size, units + 1) (NIST DLMF 8.17.24).
        """
        if not self.is_clumped:
            chance: np.ndarray = (pdtrc if is_above else pdtr)(units, self.mean)
            return chance
        size = self.mean**2 / (self.variance - self.mean)
        p = size / (size + self.mean)
        more = np.asarray(units) + 1.0
        chance = betainc(more, size, 1 - p) if is_above else betainc(size, more, p)
        return chance


def demand_of(units: float, units_squared: float, periods: int) -> PartDemand:
    """Return the demand from the sums over all van-periods of the units used and of their squares.

    Periods without any count. Moments: mean, and variance with n - 1; negative binomial where
    variance > 1.2 * mean (moment fit), Poisson elsewhere. One period: variance = mean (Poisson).
    Raises ValueError for no period or negative sums.
    """
    if periods < 1 or min(units, units_squared) < 0:
        raise ValueError("part demand: wanted the units of at least one period, 0 or more each")
    mean = units / periods
    spread = units_squared - units**2 / periods
    return PartDemand(mean, spread / (periods - 1) if periods > 1 else mean, periods)


def base_stock(demand: PartDemand, service: float) -> int:
    """Return the smallest stock with chance (demand <= stock) >= service, 0 <= service < 1.

    Raises ValueError for another service.
    """
    if not 0 <= service < 1:
        raise ValueError(f"service is {service}: wanted a number from 0 to below 1")
    tried = 16
    while demand.chance_at_most(tried) < service:
        tried *= 2
    return int((demand._chances(np.arange(tried + 1)) >= service).argmax())


def slow_movers(
    on_board: Mapping[str, int],
    demands: Mapping[str, PartDemand],
    periods: int,
    unused_chance: float = 0.5,
) -> dict[str, float]:
    """Return the parts on board more likely than not unused in so many periods, with that chance.

    Slowest first. A part that no record shows used has chance 1. Periods count as independent.
    Raises ValueError for fewer than one period.
    """
    if periods < 1:
        raise ValueError(f"slow movers: {periods} periods, wanted 1 or more")
    chance = {
        part: demands[part].chance_at_most(0) ** periods if part in demands else 1.0
        for part, units in on_board.items()
        if units > 0
    }
    slow = {part: idle for part, idle in chance.items() if idle >= unused_chance}
    return dict(sorted(slow.items(), key=lambda pair: (-pair[1], pair[0])))
