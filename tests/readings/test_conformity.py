"""Is a part inside its limits: JCGM 106, the GUM, guard bands, and the same rule in SQL."""

from math import inf, nan, sqrt

import duckdb
import numpy as np
import pytest

import sql
from tests.independent.conformity import conformity, half_width
from tests.references import meters_and_limits as reference
from tests.references.readings import JCGM_106


@pytest.mark.parametrize(("value", "u", "low", "high", "printed"), JCGM_106)
def test_the_examples_of_jcgm_106(value, u, low, high, printed):
    """Two printed digits, so half a unit of the second."""
    found = conformity(value, u * sqrt(3), low, high)
    assert found.p_inside == pytest.approx(printed, abs=5e-3)
    assert found.p_inside + found.p_outside == pytest.approx(1)


@pytest.mark.parametrize("side", [-1, 1])
def test_a_single_limit_is_met_from_the_guard_band_on(side):
    """ISO 14253-1: 1.645 u inside the limit proves conformity, 1.645 u beyond it the contrary."""
    limits = {"high" if side == 1 else "low": 10}
    guard = reference.GUARD_FACTOR
    verdicts = [
        conformity(10 + side * distance, sqrt(3), **limits).verdict
        for distance in (-guard * 1.001, -guard * 0.999, guard * 0.999, guard * 1.001)
    ]
    assert verdicts == ["inside", "doubtful", "doubtful", "outside"]


@pytest.mark.parametrize(("r", "chance"), reference.FALSE_ACCEPTANCE.items())
def test_the_chance_of_false_acceptance_is_that_of_ilac_g8(r, chance):
    """A reading r · 2 u inside its only limit; five digits computed, the guide's bounds next to them."""
    found = conformity(10 - r * 2, sqrt(3), high=10)
    assert found.p_outside == pytest.approx(chance, abs=5e-6)


def test_the_voltmeter_of_the_gum():
    meter = reference.GUM_VOLTMETER
    found = half_width(meter["value"], meter["accuracy_pct"], 1, meter["range_part"])
    assert found == pytest.approx(meter["a"], abs=5e-8)
    assert found / sqrt(3) == pytest.approx(meter["u"], abs=5e-8)


def test_an_ordinary_meter_at_10_ohm():
    """±(0.9 % + 2 digits of 0.1 ohm) at 10.3 ohm: .0927 + .2; normal chance of ≤ 10.5 computed."""
    a = half_width(10.3, 0.9, 2, 0.1)
    assert a == pytest.approx(0.0927 + 0.2)
    assert conformity(10.3, a, high=10.5).p_inside == pytest.approx(0.881694, abs=5e-7)


def test_leads_count_below_200_ohm_and_ranges_get_coarser():
    assert half_width(199, 0, 0, 0.1, lead_ohm=0.3) == 0.3
    assert half_width(200, 0, 0, 0.1, lead_ohm=0.3) == 0
    assert half_width(10_400, 0, 1, 0.1, counts=4000) == 10  # 40 kOhm range of 4000 counts
    assert half_width(0, 0.9, 2, 0.1, counts=4000) == 0.2


def test_between_limit_and_fail_limit_is_doubtful_however_sure():
    found = conformity(15, 0.1, 8, 10, fail_below=4, fail_above=40)
    assert (found.p_inside, found.p_outside) == pytest.approx((0, 0))
    assert found.verdict == "doubtful"


def test_beyond_the_fail_limits_is_outside_and_in_the_middle_inside():
    assert conformity(50, 1, 8, 10, 4, 40).verdict == "outside"
    assert conformity(2, 1, 8, 10, 4, 40).verdict == "outside"
    assert conformity(9, 0.5, 8, 10, 4, 40).verdict == "inside"


def test_a_meter_wider_than_the_band_can_prove_nothing_inside():
    assert conformity(9, 3, 8, 10).verdict == "doubtful"


def test_an_exact_meter_reads_the_truth():
    assert conformity(10, 0, 8, 10).verdict == "inside"  # on the limit
    assert conformity(10.001, 0, 8, 10).verdict == "outside"
    assert conformity(10.001, 0, 8, 10, fail_above=12).verdict == "doubtful"


def test_without_limits_or_number_there_is_no_verdict():
    assert conformity(10, 1) is None
    assert conformity(10, 1, fail_above=40) is None
    assert conformity(inf, 1, 8, 10) is None
    assert conformity(nan, 1, 8, 10) is None


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="half-width -1"):
        conformity(10, -1, 8, 10)
    with pytest.raises(ValueError, match="low 10 above high 8"):
        conformity(10, 1, 10, 8)


def drawn_readings() -> list[tuple]:
    """Return value, half-width and four limits, any of them absent but not both of low and high."""
    generator = np.random.default_rng(7)
    rows = []
    for _ in range(2000):
        drawn = np.sort(generator.uniform(0, 20, 4)).round(2).tolist()
        absent = generator.random(4) < 0.25
        limits = [None if gone else limit for gone, limit in zip(absent, drawn, strict=True)]
        value = float(generator.uniform(0, 22))
        if limits[1] is not None or limits[2] is not None:
            rows.append((value, half_width(value, 1, 2, 0.1, 0.3, 4000), *limits))
    return rows


def test_the_sql_rule_gives_the_same_chances():
    """3e-7: the SQL's normal distribution is good to 7.5e-8, and up to four of them add up."""
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/reading_macros"))
    rows = drawn_readings()
    names = ("value", "a", "below", "low", "high", "above")
    columns = dict(zip(names, map(list, zip(*rows, strict=True)), strict=True))
    judged = connection.execute(
        """
        WITH readings AS (
            SELECT
                unnest($value) AS value,
                unnest($a) / sqrt(3) AS u,
                unnest($below) AS below,
                unnest($low) AS low,
                unnest($high) AS high,
                unnest($above) AS above,
        )

        SELECT
            core.meter_half_width(value, 1, 2, 0.1, 4000, 0.3),
            core.chance_inside(value, u, low, high),
            core.chance_outside(value, u, low, high, below, above),
        FROM readings
        """,
        columns,
    ).fetchall()
    for (value, a, below, low, high, above), of_sql in zip(rows, judged, strict=True):
        found = conformity(value, a, low, high, below, above)
        assert of_sql == pytest.approx((a, found.p_inside, found.p_outside), abs=3e-7)
