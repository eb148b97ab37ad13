"""Which technician's meter is off? The clearest is set aside and the rest is tested again.

So one bad meter does not make the good ones look wrong.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from dashboard.stats.bootstrap import medians_drawn
from dashboard.stats.meter_bias import Readings, median_of_others
from dashboard.stats.multiple_testing import q_values

LEVEL = 0.05  # of the first round; each further round takes half
DRAWS = 1000  # enough for an interval in tenths of a percent; a large shop has thousands of pairs
SMALLEST_P = 1e-300


@dataclass(frozen=True)
class MeterShift:
    """Shift of one technician's median at one test point, with its 95 % interval.

    A fraction of the others' median, which is the median of the other technicians' medians.
    """

    who: int
    n: int
    median: float
    others_n: int
    others_median: float
    shift: float
    low: float
    high: float
    accuracy: float
    p_value: float
    q_value: float
    is_flagged: bool


@dataclass(frozen=True)
class _Tests:
    """One entry per pair of technician and test point, the test points one after the other."""

    who: np.ndarray
    p_value: np.ndarray
    q_value: np.ndarray
    is_tested: np.ndarray
    is_flagged: np.ndarray
    aside: list[int]


def meter_shifts(points: Sequence[Readings], seed: int = 1) -> list[list[MeterShift]]:
    """Compare every technician with the others at each test point; a list for each point.

    Each round tests everybody who is not set aside, with Benjamini and Hochberg (1995) over all
    pairs. Where a shift is significant and exceeds the meter's own accuracy, the technician with
    the clearest evidence (largest sum of -log p) is flagged and set aside. The next round has half
    the level. Pairs without two others to compare with are left out; those who have fewer left
    after others were set aside keep their shift and have no p-value.
    """
    tests = _rounds(points)
    generator = np.random.default_rng(seed)
    ends = np.cumsum([len(point.who) for point in points])
    return [
        _shifts(point, tests, slice(end - len(point.who), end), generator)
        for point, end in zip(points, ends, strict=True)
    ]


def _rounds(points: Sequence[Readings]) -> _Tests:
    """Test, set the clearest technician aside and test again until none is left to flag."""
    who = np.concatenate([point.who for point in points]) if points else np.empty(0, int)
    p_value, q_value = np.full(len(who), np.nan), np.full(len(who), np.nan)
    is_tested, is_flagged = np.zeros(len(who), bool), np.zeros(len(who), bool)
    aside: list[int] = []
    while True:
        active = ~np.isin(who, aside)
        round_p, is_beyond = _tested(points, active)
        known = active & ~np.isnan(round_p)
        is_tested |= known
        p_value[active], q_value[active] = round_p[active], np.nan
        q_value[known] = q_values(round_p[known].tolist())
        is_candidate = known & is_beyond & (np.nan_to_num(q_value, nan=1) <= _level(aside))
        if not is_candidate.any():
            return _Tests(who, p_value, q_value, is_tested, is_flagged, aside)
        evidence = -np.log(np.maximum(round_p[is_candidate], SMALLEST_P))
        clearest = int(np.argmax(np.bincount(who[is_candidate], evidence)))
        is_flagged |= is_candidate & (who == clearest)
        aside.append(clearest)


def _level(aside: Sequence[int]) -> float:
    return LEVEL / 2.0 ** len(aside)


def _tested(points: Sequence[Readings], active: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the p-value of every pair, and whether its shift exceeds the meter's accuracy."""
    masks = np.split(active, np.cumsum([len(point.who) for point in points])[:-1])
    pairs = list(zip(points, masks, strict=True)) if len(points) else []
    nothing = [np.empty(0)]
    p_values = np.concatenate([point.p_values(mask) for point, mask in pairs] or nothing)
    beyond = np.concatenate([point.is_beyond_accuracy(mask) for point, mask in pairs] or nothing)
    return p_values, beyond.astype(bool)


def _shifts(
    point: Readings, tests: _Tests, place: slice, generator: np.random.Generator
) -> list[MeterShift]:
    """Return the shift of each technician who was tested, against those never set aside."""
    p_value, q_value = tests.p_value[place], tests.q_value[place]
    tested = np.flatnonzero(tests.is_tested[place])
    if not len(tested):
        return []
    is_sound = ~np.isin(point.who, tests.aside)
    drawn = medians_drawn(point.values, point.read, generator, DRAWS)
    ratio = drawn / median_of_others(drawn, is_sound) - 1
    low, high = np.quantile(ratio[tested], (0.025, 0.975), axis=1)
    reference = median_of_others(point.medians, is_sound)
    n = point.read.sum(axis=1)
    columns = (
        point.who[tested],
        n[tested],
        point.medians[tested],
        (n[is_sound].sum() - np.where(is_sound, n, 0))[tested],
        reference[tested],
        (point.medians / reference - 1)[tested],
        low,
        high,
        point.accuracy[tested],
        p_value[tested],
        q_value[tested],
        tests.is_flagged[place][tested],
    )
    return [MeterShift(*row) for row in zip(*(c.tolist() for c in columns), strict=True)]
