"""The blend of own counts and prior weights, by arithmetic."""

import pytest
from pytest import approx
from scipy.stats import beta

from dashboard.stats.sequencing.cause_prior import blend, cause_mix


def test_own_jobs_and_twenty_jobs_of_prior_are_added():
    """Formula of the trade reference, m = 20: common practice, no source."""
    found = cause_mix({"element": 9, "fuse": 1}, {"element": 0.5, "fuse": 0.3, "cord": 0.2})
    assert found.n == 10
    assert found.mix == approx(
        {"element": (9 + 10) / 30, "fuse": (1 + 6) / 30, "cord": (0 + 4) / 30}
    )
    assert sum(found.mix.values()) == approx(1)
    assert found.shares["element"].jobs == 9


def test_the_interval_is_that_of_the_beta_margin():
    """19 and 11 jobs' worth: Beta(19, 11), scipy."""
    share = cause_mix({"element": 9, "fuse": 1}, {"element": 0.5, "fuse": 0.5}).shares["element"]
    assert (share.low, share.high) == approx(beta(19, 11).ppf([0.025, 0.975]))


def test_weights_count_by_their_share_of_the_sum():
    assert blend({"a": 2}, {"a": 3, "b": 1}) == approx(blend({"a": 2}, {"a": 0.75, "b": 0.25}))


def test_a_cause_the_register_does_not_know_stays_in():
    assert blend({"mouse nest": 5}, {"fuse": 1}) == approx({"fuse": 20 / 25, "mouse nest": 5 / 25})


def test_no_own_jobs_leave_the_weights_and_no_weights_leave_the_jobs():
    assert cause_mix({}, {"a": 0.6, "b": 0.4}).mix == approx({"a": 0.6, "b": 0.4})
    assert cause_mix({}, {"a": 1}).n == 0
    assert blend({"a": 3, "b": 1}, {}) == approx({"a": 3 / 4, "b": 1 / 4})
    assert cause_mix({"a": 3}, {}).shares["a"].low == 1


def test_many_jobs_outweigh_the_prior():
    assert blend({"a": 10_000}, {"b": 1})["a"] == approx(10_000 / 10_020)


@pytest.mark.parametrize("counts, weights", [({}, {}), ({"a": 0}, {}), ({"a": -1}, {"a": 1})])
def test_nothing_to_blend_is_refused(counts, weights):
    with pytest.raises(ValueError, match="cause mix: wanted"):
        blend(counts, weights)
