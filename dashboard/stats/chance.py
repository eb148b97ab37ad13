"""Whether a group's count is more than chance alone makes of the work it had."""

from scipy.stats import binom

LOOK, DIFFERENT = 0.025, 0.001  # tail on one side: limits of 95 % and 99.8 %


def against_expected(count: int, n: int, expected: float) -> str | None:
    """Return "inside", "look" or "different" for a count of n jobs against its expected count.

    `expected` is what the group's own mix of work gives at the shop's rates. Exact binomial tails
    at p = expected / n: outside 99.8 % limits "different", outside 95 % "look" (funnel limits,
    Spiegelhalter 2005, Stat Med 24:1185, without his interpolation). Rates that differ between jobs
    spread less than one binomial, so this is cautious. None without jobs, or when the shop's rate
    is 0 or 1: then there is nothing to differ from. Raises ValueError for counts that cannot be.
    """
    if not 0 <= count <= n or not 0 <= expected <= n + 1e-9:
        raise ValueError(f"chance: {count} of {n} jobs, {expected} expected, wanted 0 up to n")
    if n == 0 or expected <= 0 or expected >= n:
        return None
    rate = expected / n
    tail = min(float(binom.cdf(count, n, rate)), float(binom.sf(count - 1, n, rate)))
    if tail < DIFFERENT:
        return "different"
    return "look" if tail < LOOK else "inside"
