"""Does one technician's meter read otherwise than the others'?"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import mannwhitneyu

from dashboard.stats.bootstrap import DRAWS, median_draws, percentile_interval

FEWEST = 8


@dataclass(frozen=True)
class MeterShift:
    """Shift of a median as a fraction of the others', with its 95 % interval and p-value."""

    shift: float
    low: float
    high: float
    p_value: float


def meter_shift(
    own: Sequence[float], others: Sequence[float], seed: int = 1, draws: int = DRAWS
) -> MeterShift | None:
    """Compare readings of sound parts with those of all other technicians.

    shift = median(own) / median(others) − 1, percentile interval from the bootstrap of both
    medians; p-value of Mann and Whitney (1947), two-sided, corrected for ties: exchangeable
    readings pass whatever their distribution. None where either side has fewer than 8 readings or
    the others' median is not above 0.
    """
    if min(len(own), len(others)) < FEWEST or np.median(others) <= 0:
        return None
    generator = np.random.default_rng(seed)
    base = median_draws(others, generator, draws)
    ratios = median_draws(own, generator, draws) / np.where(base > 0, base, np.nan) - 1
    low, high = percentile_interval(ratios[~np.isnan(ratios)])
    p_value = float(mannwhitneyu(own, others, alternative="two-sided").pvalue)
    shift = float(np.median(own) / np.median(others) - 1)
    return MeterShift(shift, low, high, 1.0 if np.isnan(p_value) else p_value)
