"""Many tests at once: the false-discovery rate."""

from collections.abc import Sequence

import numpy as np
from scipy.stats import false_discovery_control


def q_values(p_values: Sequence[float | None]) -> list[float | None]:
    """Return each p-value's q-value: the smallest false-discovery rate at which it is flagged.

    Benjamini & Hochberg 1995 over the p-values that are there; None stays None. No p-values give an
    empty list; a single one is its own q-value. Raises ValueError for a p-value outside 0–1.
    """
    known = [i for i, p in enumerate(p_values) if p is not None]
    result: list[float | None] = [None] * len(p_values)
    if not known:
        return result
    adjusted = false_discovery_control(np.array([p_values[i] for i in known], float), method="bh")
    for i, q in zip(known, adjusted, strict=True):
        result[i] = float(q)
    return result
