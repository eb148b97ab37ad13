"""What one test is worth: sensitivity, specificity, likelihood ratios, and Bayes' rule."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, inf, log, sqrt

from scipy.special import ndtri

from dashboard.stats.proportion import wilson

Z95 = float(ndtri(0.975))


@dataclass(frozen=True)
class Estimate:
    """A number with its 95 % interval and the jobs it rests on; None = cannot be said."""

    value: float | None
    low: float | None
    high: float | None
    n: int


@dataclass(frozen=True)
class PowerOfTest:
    """The four figures of a two-by-two table, each with its interval."""

    sensitivity: Estimate
    specificity: Estimate
    ratio_outside: Estimate  # likelihood ratio of an outside reading (LR+)
    ratio_inside: Estimate  # likelihood ratio of an inside reading (LR-)


@dataclass(frozen=True)
class VerifiedTable:
    """Jobs by reading and final cause, and the jobs whose cause was never settled."""

    true_outside: int
    false_outside: int
    false_inside: int
    true_inside: int
    unverified_outside: int
    unverified_inside: int


def power_of_test(
    true_outside: int, false_inside: int, false_outside: int, true_inside: int
) -> PowerOfTest:
    """Return sensitivity, specificity and both likelihood ratios from counts of jobs.

    `true_outside`: outside and the cause was there; `false_inside`: inside although it was there;
    `false_outside`, `true_inside`: the same for jobs with another cause.
    Shares: Wilson. Ratios: log method, SE = sqrt(1/a - 1/(a+b) + 1/c - 1/(c+d)) (Simel, Samsa &
    Matchar 1991, J Clin Epidemiol 44:763). A zero cell: the ratio keeps its plain value (0, or
    infinity over a zero), and its interval is computed with 0.5 added to the four cells and then
    opened to that side, so it always holds the plain value. A reading that every job gave: the
    ratio is 1 and its interval has 0.5 added likewise. No job with, or none without, the
    cause: what rests on it is None. Raises ValueError for negative counts.
    """
    cells = (true_outside, false_inside, false_outside, true_inside)
    if min(cells) < 0:
        raise ValueError(f"test power: counts {cells}, wanted 0 or more")
    ill, sound = true_outside + false_inside, false_outside + true_inside
    return PowerOfTest(
        _share(true_outside, ill),
        _share(true_inside, sound),
        _ratio(true_outside, ill, false_outside, sound),
        _ratio(false_inside, ill, true_inside, sound),
    )


def sensitivity_bounds(table: VerifiedTable) -> tuple[float | None, float | None]:
    """Return the lowest and highest sensitivity that the unverified jobs allow.

    Lowest: every unverified inside reading hid the fault and no unverified outside reading was
    right; highest: the reverse. No assumption, hence wide: bounds of Manski's kind (Kosinski &
    Barnhart 2003, Stat Med 22:2711, from memory). None when no job could have the fault.
    """
    _refuse_negative(table)
    missed = table.false_inside + table.unverified_inside
    low = _divide(table.true_outside, table.true_outside + missed)
    outside = table.true_outside + table.unverified_outside
    return low, _divide(outside, outside + table.false_inside)


def specificity_bounds(table: VerifiedTable) -> tuple[float | None, float | None]:
    """Return the lowest and highest specificity that the unverified jobs allow.

    The mirror of `sensitivity_bounds`. None when every job could have the fault.
    """
    _refuse_negative(table)
    alarms = table.false_outside + table.unverified_outside
    low = _divide(table.true_inside, table.true_inside + alarms)
    inside = table.true_inside + table.unverified_inside
    return low, _divide(inside, inside + table.false_outside)


def begg_greenes(table: VerifiedTable) -> tuple[float | None, float | None]:
    """Return (sensitivity, specificity) corrected for jobs whose cause was never settled.

    Assumes that whether a job was settled depends on the reading alone: then the share with the
    fault among settled jobs of each reading holds for the unsettled ones too (Begg & Greenes 1983,
    Biometrics 39:207). Without unsettled jobs these are the plain figures. None where no job of a
    reading was settled although some exist, or where no fault (no sound job) is left. Raises
    ValueError for negative counts.
    """
    _refuse_negative(table)
    outside = _spread(table.true_outside, table.false_outside, table.unverified_outside)
    inside = _spread(table.false_inside, table.true_inside, table.unverified_inside)
    if outside is None or inside is None:
        return None, None
    return _divide(outside[0], outside[0] + inside[0]), _divide(inside[1], inside[1] + outside[1])


def update_mix(mix: Mapping[str, float], likelihood: Mapping[str, float]) -> dict[str, float]:
    """Return the cause mix after a reading: prior times likelihood, divided by the sum (Bayes).

    `likelihood` is p(what was read | cause) for every cause of the mix. One cause: 1. Raises
    ValueError when no cause can give the reading, which an empty mix never can.
    """
    joint = {cause: share * likelihood[cause] for cause, share in mix.items()}
    total = sum(joint.values())
    if total <= 0:
        raise ValueError("cause mix: no cause listed can give this reading; repeat it")
    return {cause: weight / total for cause, weight in joint.items()}


def _share(count: int, n: int) -> Estimate:
    if n == 0:
        return Estimate(None, None, None, 0)
    interval = wilson(count, n, Z95)
    return Estimate(count / n, float(interval.low), float(interval.high), n)


def _ratio(count: int, ill: int, other: int, sound: int) -> Estimate:
    n = ill + sound
    if ill == 0 or sound == 0 or count == other == 0:
        return Estimate(None, None, None, n)
    value = inf if other == 0 else (count / ill) / (other / sound)
    if count > 0 and other > 0 and (count < ill or other < sound):
        return Estimate(value, *_log_interval(count, ill, other, sound), n)
    low, high = _log_interval(count + 0.5, ill + 1, other + 0.5, sound + 1)
    low, high = 0.0 if count == 0 else min(low, value), max(high, value)
    return Estimate(value, low, high, n)


def _log_interval(count: float, ill: float, other: float, sound: float) -> tuple[float, float]:
    centre = log((count / ill) / (other / sound))
    error = sqrt(1 / count - 1 / ill + 1 / other - 1 / sound)
    return exp(centre - Z95 * error), exp(centre + Z95 * error)


def _refuse_negative(table: VerifiedTable) -> None:
    if min(vars(table).values()) < 0:
        raise ValueError(f"{table}: wanted counts of 0 or more")


def _spread(ill: int, sound: int, unverified: int) -> tuple[float, float] | None:
    if unverified == 0:
        return float(ill), float(sound)
    if ill + sound == 0:
        return None
    return ill + unverified * ill / (ill + sound), sound + unverified * sound / (ill + sound)


def _divide(part: float, whole: float) -> float | None:
    return part / whole if whole > 0 else None
