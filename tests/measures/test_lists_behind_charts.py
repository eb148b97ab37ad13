"""What a click on a curve or a month lists is what the curve or the month counts."""

from datetime import date

import pytest

from dashboard.month.periods import month_days
from tests.ask import measure, run


@pytest.mark.parametrize("day", [7, 30, 90])
def test_the_jobs_back_by_a_day_are_those_of_the_callback_curve(sample_shop, day: int):
    curve = measure(sample_shop, "callback_curve")
    back = curve.loc[curve["day"] <= day, "callbacks"].sum()
    jobs = run(sample_shop, "pages/counted_jobs", which="back_by", window_days=day)
    assert len(jobs) == back > 0
    by_kind = measure(sample_shop, "callback_curve", group_by="appliance_kind")
    own = by_kind[(by_kind["group"] == "refrigerator") & (by_kind["day"] <= day)]
    jobs = run(
        sample_shop, "pages/counted_jobs", which="back_by", window_days=day,
        group_by="appliance_kind", group_value="refrigerator",
    )  # fmt: skip
    assert len(jobs) == own["callbacks"].sum() > 0


@pytest.mark.parametrize("measured", ["first_time_fix", "minutes"])
def test_the_jobs_of_a_month_are_those_of_its_dot(sample_shop, measured: str):
    """April 2026 holds jobs opened before the change and closed after it, too."""
    asked = {"measured": measured, "changed_on": date(2026, 4, 6), "on_branch": ["Mill Lane"]}
    cells = measure(sample_shop, "change_effect", **asked)
    first, last = month_days("2026-04")
    for is_touched in (True, False):
        own = cells[(cells["month"] == "2026-04") & (cells["is_touched"] == is_touched)]
        assert own["is_after"].isna().any()
        jobs = run(
            sample_shop, "pages/change_jobs", is_after=None, is_touched=is_touched, hits=False,
            before_from=first, after_to=last, **asked,
        )  # fmt: skip
        assert len(jobs) == own["jobs"].sum() > 0


def test_the_jobs_of_a_month_lack_what_its_dot_says(sample_shop):
    months = measure(sample_shop, "recording", group_by="month")
    for row in months[months["missing"] > 0].groupby("field").tail(1).itertuples():
        jobs = run(
            sample_shop, "pages/unwritten_jobs", field=row.field, group_by="month",
            group_value=row.group,
        )  # fmt: skip
        assert len(jobs) == row.missing, row.field


def test_the_jobs_of_every_mix_up_are_as_many_as_the_table_counts(sample_shop):
    pairs = measure(sample_shop, "mix_ups")
    wrong = pairs[pairs["first_component"] != pairs["final_component"]]
    assert len(wrong) > 20
    for row in wrong.itertuples():
        jobs = run(
            sample_shop, "pages/mix_up_jobs", kind=row.appliance_kind, complaint=row.symptom,
            first=row.first_component, final=row.final_component,
        )  # fmt: skip
        assert len(jobs) == row.jobs, row


def test_the_settled_jobs_of_every_test_are_as_many_as_it_is_judged_by(sample_shop):
    """Whatever the cause: with it (tp, fn) and with another (fp, tn) are the same jobs together."""
    power = measure(sample_shop, "power_of_tests")
    assert len(power) > 20
    for (kind, complaint, point), rows in power.groupby(
        ["appliance_kind", "symptom", "test_point"]
    ):
        jobs = run(
            sample_shop, "pages/test_jobs", kind=kind, complaint=complaint, test_point=point,
            is_settled=True,
        )  # fmt: skip
        assert set(rows[["tp", "fp", "fn", "tn"]].sum(axis=1)) == {len(jobs)}
