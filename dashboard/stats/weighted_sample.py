"""Numbers of which many are equal: each once, in rising order, and how often it occurs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np


@dataclass(frozen=True)
class Counted:
    """Different values in rising order, none of them missing, with how often each occurs.

    A count of 0 is a value that others have.
    """

    values: np.ndarray
    counts: np.ndarray

    def __len__(self) -> int:
        """Return how many numbers there are, equal ones each by itself."""
        return int(self.counts.sum())

    def at(self, ranks: np.ndarray) -> np.ndarray:
        """Return the numbers of these ranks; the smallest has rank 0."""
        numbers: np.ndarray = at_ranks(self.values, self.counts[None], ranks[None])[0]
        return numbers

    @cached_property
    def median(self) -> float:
        """Return the middle number, or the mean of the two middle ones; NaN without numbers."""
        n = len(self)
        return float(self.at(np.array([(n - 1) // 2, n // 2])).mean()) if n else float("nan")


def at_ranks(values: np.ndarray, counts: np.ndarray, ranks: np.ndarray) -> np.ndarray:
    """Return the numbers of these ranks in each of many groups; the smallest has rank 0.

    `counts[g, v]` is how often group g has values[v], in rising order; a row of ranks for each.
    """
    up_to = counts.cumsum(axis=1)
    place = np.arange(len(counts))[:, None]
    apart = place * (up_to[:, -1:].max(initial=0) + 1)  # the groups one behind the other
    found = np.searchsorted((up_to + apart).ravel(), ranks + apart, side="right")
    numbers: np.ndarray = values[found - place * len(values)]
    return numbers


def counted(numbers: Sequence[float] | np.ndarray | Counted) -> Counted:
    """Return numbers counted by value; none give none. What is counted already stays so."""
    if isinstance(numbers, Counted):
        return numbers
    return Counted(*np.unique(np.asarray(numbers, float), return_counts=True))


def on_one_axis(*groups: Sequence[float] | np.ndarray | Counted) -> list[Counted]:
    """Return groups over all the values that any of them has, in counts of 0 or more."""
    known = [counted(group) for group in groups]
    if all(group.values is known[0].values for group in known):
        return known
    values = np.unique(np.concatenate([group.values for group in known]))
    return [_over(values, group) for group in known]


def _over(values: np.ndarray, group: Counted) -> Counted:
    counts = np.zeros(len(values), int)
    counts[np.searchsorted(values, group.values)] = group.counts
    return Counted(values, counts)
