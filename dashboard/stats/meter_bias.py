"""Readings of several meters at one test point: shift and p-value of each against the others."""

from dataclasses import dataclass, field

import numpy as np
from scipy.special import ndtr

from dashboard.stats.weighted_sample import at_ranks

FEWEST = 8  # readings of a technician at a test point
FEWEST_OTHERS = 2  # of two technicians who differ nothing shows which one is right


@dataclass(frozen=True)
class Readings:
    """Readings of good parts at one test point.

    `read[t, v]` = how often technician number `who[t]` read `values[v]`; values rise and are above
    0, else ValueError. `accuracy[t]` = what the technician's meter may be off by, as a fraction.
    """

    who: np.ndarray
    values: np.ndarray
    read: np.ndarray
    accuracy: np.ndarray
    medians: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        """Compute the technicians' medians."""
        if len(self.values) and not self.values[0] > 0:
            raise ValueError(f"meter shift: wanted readings above 0, found {self.values[0]}")
        object.__setattr__(self, "medians", medians(self.values, self.read))

    def p_values(self, active: np.ndarray) -> np.ndarray:
        """Return the two-sided p-value of each active technician against the other active ones.

        Mann and Whitney (1947), corrected for ties. NaN for the rest, and for all where fewer than
        two others are left.
        """
        result = np.full(len(self.who), np.nan)
        if active.sum() > FEWEST_OTHERS:
            own = self.read[active]
            result[active] = _p_values(self.values, own, own.sum(axis=0) - own)
        return result

    def is_beyond_accuracy(self, active: np.ndarray) -> np.ndarray:
        """Mark shifts that the meter's own error does not explain; a shift of 0 is none."""
        shift = self.medians / median_of_others(self.medians, active) - 1
        is_beyond: np.ndarray = np.abs(shift) > self.accuracy
        return is_beyond


def median_of_others(medians: np.ndarray, is_sound: np.ndarray) -> np.ndarray:
    """Return for each row the median of the sound rows' medians, its own left out.

    `medians` are one number for each technician, or a row of draws. NaN without another row.
    """
    columns = medians.reshape(len(medians), -1)
    sound = np.sort(columns[is_sound], axis=0)
    result = np.full(columns.shape, np.nan)
    if len(sound):
        result[~is_sound] = np.median(sound, axis=0)
    size = len(sound) - 1
    if size >= 1:
        order = np.argsort(columns[is_sound], axis=0, kind="stable")
        ranks = np.argsort(order, axis=0, kind="stable")
        low, high = (size - 1) // 2, size // 2  # of those that remain, in order
        column = np.arange(columns.shape[1])
        at = [sound[np.where(ranks <= rank, rank + 1, rank), column] for rank in (low, high)]
        result[is_sound] = (at[0] + at[1]) / 2
    return result.reshape(medians.shape)


def medians(values: np.ndarray, counts: np.ndarray) -> np.ndarray:
    """Return the median of each row of counts over the rising values."""
    n = counts.sum(axis=1)
    middle = at_ranks(values, counts, np.stack([(n - 1) // 2, n // 2], axis=1))
    result: np.ndarray = middle.mean(axis=1)
    return result


def _p_values(values: np.ndarray, own: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Return the two-sided p-value of each row of counts against the others'.

    As scipy's mannwhitneyu, which takes a quarter of a millisecond for its checks whatever it is
    given: it is called only where it counts exactly, that is up to 8 readings without ties.
    """
    m, n, both = own.sum(axis=1), others.sum(axis=1), own[0] + others[0]
    tied = both[both > 0].astype(float)
    wins = (own * (2 * others.cumsum(axis=1) - others)).sum(axis=1) / 2
    spread = (m + n + 1) - (tied**3 - tied).sum() / ((m + n) * (m + n - 1))
    away = np.maximum(np.abs(wins - m * n / 2) - 0.5, 0.0)
    known = spread > 0
    p_values = np.ones(len(own))
    error = np.sqrt((m * n * spread / 12)[known])
    p_values[known] = np.minimum(2 * ndtr(-away[known] / error), 1.0)
    if both.max() == 1:
        from scipy.stats import mannwhitneyu  # half a second, for one page

        for row in np.flatnonzero(np.minimum(m, n) <= FEWEST):
            two = (values[side[row] > 0] for side in (own, others))
            p_values[row] = mannwhitneyu(*two, alternative="two-sided").pvalue
    return p_values
