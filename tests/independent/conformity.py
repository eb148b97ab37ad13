"""Is a part inside its limits, given that the meter is not exact either?"""

from dataclasses import dataclass
from math import ceil, inf, isfinite, log10, sqrt

from scipy.stats import norm

SURE = 0.95
LEADS_COUNT_BELOW_OHM = 200


@dataclass(frozen=True)
class Conformity:
    """Chances that the true value is inside and outside, and what follows from them."""

    p_inside: float
    p_outside: float
    verdict: str  # "inside", "doubtful" or "outside"


def half_width(
    value: float,
    accuracy_pct: float,
    digits: float,
    resolution: float,
    lead_ohm: float = 0.0,
    counts: float = inf,
) -> float:
    """Return how far a meter may be off at this reading, in the reading's unit.

    accuracy % of the reading + digits of the range's last place + the leads below 200. `resolution`
    is that of the lowest range; a meter of so many `counts` goes to a range ten times as coarse
    each time the reading no longer fits. Source: the form in which data sheets state it; GUM 4.3.7.
    """
    size = abs(value)
    has_ranges = size > 0 and isfinite(counts)
    needed = 10.0 ** ceil(log10(size / counts)) if has_ranges else 0.0
    leads = lead_ohm if size < LEADS_COUNT_BELOW_OHM else 0.0
    return accuracy_pct / 100 * size + digits * max(resolution, needed) + leads


def conformity(
    value: float,
    half_width: float,
    low: float | None = None,
    high: float | None = None,
    fail_below: float | None = None,
    fail_above: float | None = None,
) -> Conformity | None:
    """Return the chances of inside and outside, and "inside" or "outside" from 95 % on.

    u = half_width / √3; the true value counts as normal about the reading with deviation u. A limit
    of None is absent; outside is beyond the fail limits, or beyond low and high where there are
    none. Half-width 0: the reading is the truth, and a value on a limit is inside. None without low
    and high, or when the value is no number (an open reading has a verdict of its own). Raises
    ValueError for a negative half-width or low above high. Source: JCGM 106:2012, clause 7.
    """
    if half_width < 0:
        raise ValueError(f"conformity: half-width {half_width}, wanted 0 or more")
    if low is not None and high is not None and low > high:
        raise ValueError(f"conformity: low {low} above high {high}")
    if (low is None and high is None) or not isfinite(value):
        return None
    below = low if fail_below is None else fail_below
    above = high if fail_above is None else fail_above
    u = half_width / sqrt(3)
    p_inside = 1 - _beyond(value, u, low, -1) - _beyond(value, u, high, 1)
    p_outside = _beyond(value, u, below, -1) + _beyond(value, u, above, 1)
    return Conformity(p_inside, p_outside, _verdict(p_inside, p_outside))


def _beyond(value: float, u: float, limit: float | None, side: int) -> float:
    """Return the chance that the true value is beyond a limit: above (side 1) or below (-1)."""
    if limit is None:
        return 0.0
    distance = side * (value - limit)
    return float(norm.cdf(distance / u)) if u > 0 else float(distance > 0)


def _verdict(p_inside: float, p_outside: float) -> str:
    if p_inside >= SURE:
        return "inside"
    return "outside" if p_outside >= SURE else "doubtful"
