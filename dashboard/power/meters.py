"""What shift of one technician's meter these readings would show."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from dashboard.readings.compute import readings_of
from dashboard.stats import power
from dashboard.stats.meter_bias import Readings

EFFICIENCY = 3 / np.pi  # of the Mann-Whitney test on normal values
WIDEST = 1.0  # a meter that reads twice as much is off by any measure


def meter_check(rows: pd.DataFrame) -> dict[str, float | None]:
    """Return the smallest shift found for the typical technician; {} without three to compare."""
    numbered = rows.assign(who=pd.factorize(rows["technician"], sort=True)[0])
    points = [
        (found, _spread(found))
        for _, group in numbered.groupby("test_point")
        if (found := readings_of(group)) is not None
    ]
    if not points:
        return {}
    people = sorted({who for point, _ in points for who in point.who.tolist()})
    pairs = sum(len(point.who) for point, _ in points)
    own = {who: _own(who, points) for who in people}
    typical = sorted(people, key=lambda who: own[who][2])[len(people) // 2]
    return {
        "n": own[typical][2],
        "usual": 0.0,
        "found": power.smallest_found(
            lambda shift: power.chance_of_meter_flag(shift, *own[typical][:2], pairs), 0.0, WIDEST
        ),
        "false_flags": power.any_of(
            [power.chance_of_meter_flag(0.0, *own[who][:2], pairs, seed=who) for who in people]
        ),
    }


def _spread(point: Readings) -> float:
    """Return the standard deviation of log readings within technicians, pooled."""
    logs, n = np.log(point.values), point.read.sum(axis=1)
    means = point.read @ logs / n
    squares = (point.read * (logs - means[:, None]) ** 2).sum()
    return float(np.sqrt(squares / max(n.sum() - len(n), 1)))


def _own(
    who: int, points: Sequence[tuple[Readings, float]]
) -> tuple[np.ndarray, np.ndarray, float]:
    """Return a technician's errors and meter's accuracy by test point, and all his readings."""
    errors, accuracy, readings = [], [], 0
    for point, spread in points:
        place = np.flatnonzero(point.who == who)
        if not len(place):
            continue
        n = point.read.sum(axis=1)
        own = n[place[0]]
        error = spread * np.sqrt((1 / own + 1 / (n.sum() - own)) / EFFICIENCY)
        errors.append(max(error, 1e-9))
        accuracy.append(point.accuracy[place[0]])
        readings += int(own)
    return np.array(errors), np.array(accuracy), float(readings)
