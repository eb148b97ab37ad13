"""The rules as macros, against the outside: IEC 60751, copper, thermistors, JCGM 106, scipy."""

import math

import duckdb
import numpy as np
import pytest
from scipy.stats import norm

import sql
from tests.references import readings as published


@pytest.fixture(scope="module")
def rules():
    """A database that holds the rules only."""
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/reading_macros"))
    yield connection
    connection.close()


def value_of(rules: duckdb.DuckDBPyConnection, statement: str, **values: object) -> float:
    """Return the one value of a statement."""
    ((found,),) = rules.execute(statement, values).fetchall()
    return found


def test_the_normal_distribution_is_that_of_scipy(rules):
    """Abramowitz and Stegun (1964) 26.2.17 promise an error below 7.5e-8."""
    z = np.linspace(-8, 8, 3201)
    found = rules.execute(
        "SELECT core.normal_cdf(z) FROM (SELECT unnest($z) AS z)", {"z": z.tolist()}
    ).fetchall()
    assert np.abs(np.array(found)[:, 0] - norm.cdf(z)).max() < 7.6e-8


@pytest.mark.parametrize(("z", "expected"), [(-1e6, 0.0), (1e6, 1.0), (0.0, 0.5)])
def test_the_normal_distribution_holds_at_its_ends(rules, z, expected):
    assert value_of(rules, "SELECT core.normal_cdf($z)", z=z) == pytest.approx(expected, abs=1e-7)


@pytest.mark.parametrize(("value", "u", "low", "high", "printed"), published.JCGM_106)
def test_conformity_probability_is_that_of_jcgm_106(rules, value, u, low, high, printed):
    """Tolerance: half a unit of the last printed place."""
    found = value_of(
        rules,
        "SELECT core.chance_inside($value, $u, $low, $high)",
        value=value, u=u, low=low, high=high,
    )  # fmt: skip
    assert found == pytest.approx(printed, abs=5e-3)


def test_half_width_of_a_meter_as_its_data_sheet_says(rules):
    """±(0.9 % of reading + 2 counts of 0.1 ohm) at 10.3 ohm: a = 0.2927 (GUM 4.3.7 arithmetic)."""
    found = value_of(rules, "SELECT core.meter_half_width(10.3, 0.9, 2, 0.1, 4000, 0)")
    assert found == pytest.approx(0.009 * 10.3 + 2 * 0.1)


def test_the_gum_voltmeter(rules):
    """JCGM 100:2008, 4.3.7: 14e-6 of the reading 0.928571 V and 2e-6 of the range 1 V: a = 15 µV."""
    found = value_of(rules, "SELECT core.meter_half_width(0.928571, 14e-4, 1, 2e-6, 1e6, 0)")
    assert found == pytest.approx(15e-6, abs=5e-8)
    assert found / math.sqrt(3) == pytest.approx(8.7e-6, abs=5e-8)


def test_leads_count_below_200_ohm_only(rules):
    below, above = (
        value_of(rules, "SELECT core.meter_half_width($v, 0, 0, 0.1, 4000, 0.3)", v=v)
        for v in (199.0, 200.0)
    )
    assert (below, above) == (0.3, 0)


def test_digits_are_those_of_the_range_in_use(rules):
    """4000 counts: 10.4 kOhm is read in the 40 kOhm range, whose last digit is 10 ohm."""
    assert value_of(rules, "SELECT core.meter_half_width(10400, 0, 1, 0.1, 4000, 0)") == 10


@pytest.mark.parametrize(("cel", "ohm"), published.PT1000.items())
def test_platinum_is_the_table_of_iec_60751(rules, cel, ohm):
    """Tolerance: half a unit of the last printed place of the Pt100 table, times ten."""
    assert 1000 * value_of(rules, "SELECT core.platinum_ratio($t)", t=cel) == pytest.approx(
        ohm, abs=0.051
    )


@pytest.mark.parametrize(("cel", "ratio"), published.COPPER.items())
def test_copper_is_that_of_iec_60028(rules, cel, ratio):
    found = value_of(
        rules, "SELECT core.moved_ratio('copper', 0.00393, NULL, 20.0, $t)", t=float(cel)
    )
    assert found == pytest.approx(ratio, abs=5e-5)


def test_a_thermistor_follows_its_data_sheet(rules):
    """B25/50 = 3380: 4.161 kOhm at 50 Cel (data-sheet values recalled from memory)."""
    found = 10000 * value_of(rules, "SELECT core.thermistor_ratio(50, 25, 3380)")
    assert found == pytest.approx(published.NTC_B3380[50], abs=2)


@pytest.mark.parametrize(("cel", "ohm"), published.NTC_10K.items())
def test_the_two_betas_of_the_register_hold_a_published_table_between_them(rules, cel, ohm):
    """beta 3435-3977 (the register): the published curve lies between, 25 Cel exactly on both."""
    low, high = sorted(
        10000 * value_of(rules, "SELECT core.thermistor_ratio($t, 25, $b)", t=cel, b=beta)
        for beta in (3435, 3977)
    )
    assert low - 1e-6 <= ohm <= high + 1e-6


def test_no_law_moves_nothing(rules):
    for model in ("none", "ptc_do_not_correct", "nichrome"):
        found = value_of(rules, "SELECT core.moved_ratio($m, 0.00393, 3435, 25, 60)", m=model)
        assert found == 1


@pytest.mark.parametrize(
    ("inside", "outside", "decision"),
    [
        (0.95, 0.0, "inside"),
        (0.949, 0.0, "doubtful"),
        (0.0, 0.95, "outside"),
        (0.0, 0.949, "doubtful"),
        (None, None, "outside"),  # no number: the zone stands
    ],
)
def test_decided_at_95_per_cent(rules, inside, outside, decision):
    found = value_of(rules, "SELECT core.decided($i, $o, 'outside')", i=inside, o=outside)
    assert found == decision
