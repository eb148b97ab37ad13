"""The normal range of a figure that has one value a month, such as revenue."""

from collections.abc import Sequence

import numpy as np

from dashboard.stats.control_chart import RANGE_TO_SIGMA

LEAST_MONTHS = 6  # with fewer, the range would be guesswork (common practice, no source)


def normal_range(before: Sequence[float]) -> tuple[float, float, float] | None:
    """Return (usual, low, high) from the values before: their mean ± 3 sigma; None when too few.

    Sigma = mean moving range / 1.128. Source: individuals chart, NIST/SEMATECH e-Handbook of
    Statistical Methods, 6.3.2.2.
    """
    values = np.asarray(before, float)
    values = values[~np.isnan(values)]
    if len(values) < LEAST_MONTHS:
        return None
    usual = float(values.mean())
    half = 3 * float(np.abs(np.diff(values)).mean()) / RANGE_TO_SIGMA
    return usual, usual - half, usual + half
