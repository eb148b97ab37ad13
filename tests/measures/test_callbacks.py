"""Callbacks and the callback-free curve, by hand and against published survival data."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from lifelines import KaplanMeierFitter

from tests.ask import measure, run
from tests.independent.kaplan_meier import kaplan_meier
from tests.shop_builder import shop

HEADER = "job_id | opened_on | closed_on | appliance_kind | symptom | disposition | customer\n"
START = date(2025, 1, 1)

SIX_MP = {  # Freireich et al. 1963, weeks in remission under 6-MP; minus = censored. Data as in the
    # packages named KMsurv (drug6mp) and lifelines (load_leukemia).
    "weeks": [
        6,
        6,
        6,
        -6,
        7,
        -9,
        10,
        -10,
        -11,
        13,
        16,
        -17,
        -19,
        -20,
        22,
        23,
        -25,
        -32,
        -32,
        -34,
        -35,
    ],
    # S(t) and log–log limits as in Kalbfleisch and Prentice / R survfit, quoted from memory and
    # reproduced there to the digits given.
    "survival": {
        6: (0.857143, 0.6197, 0.9516),
        7: (0.806723, 0.5631, 0.9228),
        10: (0.752941, 0.5032, 0.8894),
        13: (0.690196, 0.4316, 0.8491),
        16: (0.627451, 0.3675, 0.8049),
        22: (0.537815, 0.2678, 0.7468),
        23: (0.448179, 0.1881, 0.6801),
    },
}


def six_mp_jobs() -> str:
    """Draw one repair per patient: a callback after that many days, or the end of the records.

    Every repair is censored on the same last day, so a censored one closes that many days earlier.
    """
    last = START + timedelta(days=60)
    lines = []
    for i, weeks in enumerate(SIX_MP["weeks"]):
        closed = last - timedelta(days=abs(weeks)) if weeks < 0 else START
        lines.append(f"P{i} | {START} | {closed} | washer | leaks | repaired | c{i}")
        if weeks > 0:
            back = START + timedelta(days=weeks)
            lines.append(f"P{i}back | {back} | {back} | washer | leaks | declined | c{i}")
    lines.append(f"END | {last} | {last} | washer | leaks | cancelled | nobody")
    return HEADER + "\n".join(lines)


@pytest.fixture
def six_mp(tmp_path: Path) -> Path:
    """The 6-MP arm as a shop."""
    return shop(tmp_path, jobs=six_mp_jobs())


def test_the_curve_is_the_published_one(six_mp: Path):
    curve = measure(six_mp, "callback_curve").set_index("day")
    for day, (free, low, high) in SIX_MP["survival"].items():
        assert curve.loc[day, "free"] == pytest.approx(free, abs=5e-7)
        assert curve.loc[day, "free_low"] == pytest.approx(low, abs=5e-5)
        assert curve.loc[day, "free_high"] == pytest.approx(high, abs=5e-5)
    assert curve.loc[6, "at_risk"] == 21  # a censoring tied with an event still counts as at risk


def test_the_curve_agrees_with_lifelines(six_mp: Path):
    weeks = SIX_MP["weeks"]
    fitted = KaplanMeierFitter().fit([abs(w) for w in weeks], [w > 0 for w in weeks])
    curve = measure(six_mp, "callback_curve")
    for row in curve.itertuples():
        assert row.free == pytest.approx(
            fitted.survival_function_at_times(row.day).iloc[0], rel=1e-12
        )


def test_the_windowed_columns_of_callbacks_come_from_the_same_curve(sample_shop: Path):
    curve = measure(sample_shop, "callback_curve", group_by="appliance_kind")
    rows = measure(sample_shop, "callbacks", window_days=30, group_by="appliance_kind")
    for row in rows.itertuples():
        for day in (30, 60, 90):
            until = curve[(curve["group"] == row.group) & (curve["day"] <= day)].iloc[-1]
            assert getattr(row, f"km_{day}") == pytest.approx(1 - until.free, rel=1e-9)
            # without a callback by then neither has an interval
            high = pytest.approx(1 - until.free_low, rel=1e-9, nan_ok=True)
            assert getattr(row, f"km_{day}_high") == high


def callbacks_of(tmp_path: Path, jobs: str, **parameters: int) -> tuple[int, int]:
    """Return (callbacks within the window, mature) of drawn jobs."""
    row = measure(
        shop(tmp_path, jobs=HEADER + jobs), "callbacks", **{"window_days": 30} | parameters
    )
    return row.iloc[0].callbacks_in_window, row.iloc[0].mature


A = "A | 2026-01-01 | 2026-01-02 | washer | leaks | repaired | one\n"
END = "Z | 2026-06-01 | 2026-06-01 | washer | leaks | cancelled | none\n"


@pytest.mark.parametrize(
    ("second", "expected"),
    [
        ("B | 2026-02-01 | 2026-02-02 | washer | leaks | declined | one\n", 1),  # day 30 counts
        ("B | 2026-02-02 | 2026-02-02 | washer | leaks | declined | one\n", 0),  # day 31 does not
        ("B | 2026-01-02 | 2026-01-03 | washer | leaks | declined | one\n", 1),  # the same day
        ("B | 2026-01-10 | 2026-01-11 | washer | noisy | declined | one\n", 0),  # another family
        ("B | 2026-01-10 | 2026-01-11 | washer | leaks | cancelled | one\n", 0),  # called off
        ("B | 2026-01-10 | 2026-01-11 | washer | leaks | declined | two\n", 0),  # another customer
        ("B | 2026-01-10 | 2026-01-11 | dryer_electric | no_heat | declined | one\n", 0),
    ],
)
def test_what_counts_as_a_callback(tmp_path: Path, second: str, expected: int):
    assert callbacks_of(tmp_path, A + second + END) == (expected, 1)


def test_two_complaints_of_one_family_are_one_complaint(tmp_path: Path):
    """A washer that will not drain will not spin either. Common practice, no source."""
    jobs = (
        "A | 2026-01-01 | 2026-01-02 | washer | wont_drain | repaired | one\n"
        "B | 2026-01-10 | 2026-01-11 | washer | wont_spin | declined | one\n"
    )
    assert callbacks_of(tmp_path, jobs + END) == (1, 1)


def test_a_callback_belongs_to_the_latest_earlier_repair(tmp_path: Path):
    jobs = (
        A + "B | 2026-01-10 | 2026-01-11 | washer | leaks | repaired | one\n"
        "C | 2026-01-20 | 2026-01-21 | washer | leaks | repaired | one\n"
    )
    assert callbacks_of(tmp_path, jobs + END) == (2, 3)  # B returns to A, C returns to B


def test_an_explicit_callback_counts_whatever_its_family(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | callback_of
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      |
    B      | 2026-01-10 | 2026-01-11 | washer         | noisy   | declined    | else     | A
    Z      | 2026-06-01 | 2026-06-01 | washer         | leaks   | cancelled   | none     |
    """
    row = measure(shop(tmp_path, jobs=jobs), "callbacks", window_days=30).iloc[0]
    assert (row.callbacks_in_window, row.mature) == (1, 1)


def test_a_pending_job_is_out_of_the_rate_even_when_it_came_back(tmp_path: Path):
    """Counting only the failures known early would bias the rate upwards."""
    jobs = (
        A + "B | 2026-01-10 | 2026-01-11 | washer | leaks | declined | one\n"
        "C | 2026-01-12 | 2026-01-20 | washer | leaks | cancelled | none\n"
    )
    folder = shop(tmp_path, jobs=HEADER + jobs)
    row = measure(folder, "callbacks", window_days=30).iloc[0]
    assert (row.mature, row.pending, row.callbacks_in_window) == (0, 1, 0)
    assert row.isna()["rate"]
    assert measure(folder, "callback_curve")["callbacks"].sum() == 1  # the curve does use it


def test_serial_numbers_identify_units_before_customers(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | serial
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | S-1
    B      | 2026-01-10 | 2026-01-11 | washer         | leaks   | declined    | other    | s1
    Z      | 2026-06-01 | 2026-06-01 | washer         | leaks   | cancelled   | none     |
    """
    row = measure(shop(tmp_path, jobs=jobs), "callbacks", window_days=30).iloc[0]
    assert row.callbacks_in_window == 1


def test_the_curve_equals_the_one_computed_by_hand(sample_shop: Path):
    """SQL and a second way to Kaplan–Meier, Greenwood and the log–log band agree on every day."""
    jobs = run(sample_shop, "pages/observed_days")
    computed = kaplan_meier(jobs["observed_days"], jobs["has_callback"])
    curve = measure(sample_shop, "callback_curve").set_index("day")
    for day, free, low, high in zip(
        computed.day, computed.free, computed.low, computed.high, strict=True
    ):
        row = curve.loc[day]
        assert row.free == pytest.approx(free, rel=1e-9)
        if row.free < 1:
            assert (row.free_low, row.free_high) == pytest.approx((low, high), rel=1e-6)
