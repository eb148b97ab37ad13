"""The bound on what counts can show: against every table of two small groups, and the page."""

import pytest
from scipy.stats import binom, fisher_exact

from dashboard.stats import power
from tests.bench.bounds import TECHNICIAN, best_power


def test_the_bound_is_fishers_test_over_every_table():
    """scipy.stats.fisher_exact, one-sided, over all tables of 8 and 12 jobs."""
    flagged = sum(
        binom.pmf(mine, 8, 0.6) * binom.pmf(theirs, 12, 0.1)
        for mine in range(9)
        for theirs in range(13)
        if fisher_exact([[mine, 8 - mine], [theirs, 12 - theirs]], "greater").pvalue <= 0.05
    )
    assert best_power(8, 12, 0.1, 0.6, 0.05)[0] == pytest.approx(flagged, abs=1e-9)


def test_a_drawn_number_uses_up_the_promise():
    """With equal shares the randomized test flags exactly as often as it may."""
    assert best_power(30, 60, 0.2, 0.2, 0.05)[1] == pytest.approx(0.05, abs=1e-9)


def test_the_page_promises_what_the_best_test_can_find():
    """400 jobs against 2,000 at 4%, one technician at 8%: no more than the bound, and near it."""
    whole, drawn = best_power(400, 2000, 0.04, 0.08, TECHNICIAN)
    promised = power.chance_outside(0.08, 400 * 2000 // 2400, 0.04, 1)
    assert whole - 0.03 < promised < drawn
    assert drawn < 0.56
