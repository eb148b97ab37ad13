"""The sheet's causes and parts: levels of borrowing counted by hand."""

import pandas as pd
import pytest
from scipy.stats import beta

from dashboard.sheet.compute import causes_of, parts_of


def causes(*rows: tuple[str, float, int, int]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=["cause", "weight", "jobs", "near_jobs"])


def test_a_whole_kind_leans_on_the_general_weights_as_on_twenty_jobs():
    found = causes_of(causes(("fan", 0.25, 12, 12), ("heater", 0.75, 8, 8)), True)
    assert (found.own, found.other) == (20, 0)
    assert found.general == found.borrowed == pytest.approx(0.5)
    assert found.mix.mix == pytest.approx({"fan": (12 + 5) / 40, "heater": (8 + 15) / 40})


def test_a_model_leans_on_the_other_jobs_of_its_kind_and_these_on_the_weights():
    """Counted by hand: others 20 + 10 fans and heaters, the model's own 5 + 0."""
    found = causes_of(causes(("fan", 0.5, 25, 5), ("heater", 0.5, 10, 0)), False)
    kind = {"fan": (20 + 10) / 50, "heater": (10 + 10) / 50}
    assert (found.own, found.other) == (5, 30)
    assert found.borrowed == pytest.approx(20 / 25)
    assert found.general == pytest.approx(20 / 25 * 20 / 50)
    assert found.mix.mix == pytest.approx(
        {"fan": (5 + 20 * kind["fan"]) / 25, "heater": 20 * kind["heater"] / 25}
    )


def test_the_interval_is_that_of_the_beta_margin_of_the_dirichlet():
    """Gelman et al., Bayesian Data Analysis, section 3.4: margins of a Dirichlet are beta."""
    found = causes_of(causes(("fan", 0.25, 12, 12), ("heater", 0.75, 8, 8)), True)
    low, high = beta.ppf([0.025, 0.975], 17, 23)
    share = found.mix.shares["fan"]
    assert (share.low, share.high) == pytest.approx((low, high))


def test_a_model_without_a_job_is_all_borrowed():
    found = causes_of(causes(("fan", 0.0, 9, 0), ("heater", 0.0, 3, 0)), False)
    assert found.borrowed == 1
    assert found.general == 0
    assert found.mix.mix == pytest.approx({"fan": 0.75, "heater": 0.25})


def test_without_jobs_and_weights_nothing_can_be_said():
    assert causes_of(causes(), True) is None
    assert causes_of(causes(("fan", 0.0, 0, 0)), False) is None


def test_parts_of_few_repairs_are_left_out_and_the_rest_ordered_by_need():
    rows = pd.DataFrame(
        [
            ("fan", 30, 3, 100, 4, ["A1", "A2", "A3"], ["A2"]),
            ("lamp", 4, 0, 100, 4, ["L1"], None),
            ("heater", 50, 1, 100, 4, None, None),
        ],
        columns=[
            "component", "jobs", "near_jobs", "of_jobs", "of_near_jobs", "numbers", "near_numbers",
        ],
    )  # fmt: skip
    assert [(p.component, p.jobs, p.numbers) for p in parts_of(rows, False)] == [
        ("heater", 50, ()), ("fan", 30, ("A1", "A2")),
    ]  # fmt: skip
    assert [(p.component, p.jobs, p.of_jobs) for p in parts_of(rows, True)] == [
        ("fan", 3, 4), ("heater", 1, 4),
    ]  # fmt: skip
