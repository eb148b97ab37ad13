"""The chart of a textbook: every month judged by the whole baseline, itself included."""

from collections.abc import Sequence

from dashboard.stats.control_chart import PChart, p_chart


def textbook_chart(k: Sequence[int], n: Sequence[int], baseline: Sequence[bool]) -> PChart:
    """Append copies of the months, which the baseline does not hold, and return their chart."""
    both = p_chart([*k, *k], [*n, *n], [*baseline, *([False] * len(k))])
    later = slice(len(k), None)
    return PChart(both.centre[later], both.sigma[later], both.sigma_z[later], both.jobs[later])
