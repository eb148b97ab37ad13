"""The log-rank test against published survival data and lifelines."""

from collections import Counter

import numpy as np
import pytest
from lifelines.datasets import load_rossi
from lifelines.statistics import multivariate_logrank_test

from dashboard.stats.log_rank import log_rank
from tests.references import chance


def counts(weeks: list[int]) -> dict[int, tuple[int, int]]:
    """Turn times (minus = censored) into counts by day."""
    back = Counter(week for week in weeks if week > 0)
    left = Counter(-week for week in weeks if week < 0)
    return {day: (back[day], left[day]) for day in {*back, *left}}


def test_remission_under_6_mp_and_placebo():
    found = log_rank({"6-MP": counts(chance.SIX_MP), "placebo": counts(chance.PLACEBO)})
    assert found.statistic == pytest.approx(chance.REMISSION["statistic"], abs=5e-7)
    assert found.p_value == pytest.approx(chance.REMISSION["p_value"], rel=1e-4)
    assert found.observed == {"6-MP": 9, "placebo": 21}
    assert tuple(found.expected.values()) == pytest.approx(chance.REMISSION["expected"], abs=5e-3)


def test_maintained_chemotherapy():
    groups = {"kept": counts(chance.MAINTAINED), "not": counts(chance.NOT_MAINTAINED)}
    found = log_rank(groups)
    assert found.statistic == pytest.approx(chance.AML["statistic"], abs=5e-5)
    assert found.p_value == pytest.approx(chance.AML["p_value"], abs=5e-5)


def test_heavily_censored_recidivism():
    """Rossi et al.: 432 men, 74 % censored; log-rank by aid 3.8376 (package lifelines)."""
    men = load_rossi()
    times = np.where(men["arrest"] == 1, men["week"], -men["week"])
    groups = {str(aid): counts(times[men["fin"] == aid].tolist()) for aid in (0, 1)}
    found = log_rank(groups)
    assert found.statistic == pytest.approx(3.8376, abs=5e-5)
    assert found.p_value == pytest.approx(0.0501, abs=5e-5)


def test_several_groups_agree_with_lifelines():
    rng = np.random.default_rng(1)
    days, names = rng.integers(1, 30, 200), rng.choice(["a", "b", "c", "d"], 200)
    is_back = rng.random(200) < 0.6
    times = np.where(is_back, days, -days)
    found = log_rank({name: counts(times[names == name].tolist()) for name in "abcd"})
    other = multivariate_logrank_test(days, names, is_back)
    assert found.freedom == 3
    assert found.statistic == pytest.approx(other.test_statistic, rel=1e-9)
    assert found.p_value == pytest.approx(other.p_value, rel=1e-9)


@pytest.mark.parametrize(
    "groups", [{}, {"one": {3: (1, 0)}}, {"one": {3: (0, 1)}, "two": {4: (0, 2)}}]
)
def test_one_group_or_no_callback_cannot_be_compared(groups: dict):
    assert log_rank(groups) is None


def test_groups_never_seen_together_cannot_be_compared():
    assert log_rank({"early": {1: (0, 5)}, "late": {9: (2, 0)}}) is None
