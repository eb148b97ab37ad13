"""Laws of temperature against IEC 60751, copper, thermistor tables, and the same rule in SQL."""

import csv
from pathlib import Path

import duckdb
import numpy as np
import pytest

import sql
from tests.independent.temperature import Law, copper, moved_limits, ntc_beta, pt_iec60751, read_law
from tests.references import meters_and_limits as reference
from tests.references.readings import COPPER, NTC_B3380

TOLERANCES = Path(sql.__file__).parent / "lookups" / "tolerances.csv"


@pytest.mark.parametrize(("cel", "ohm"), reference.PT100.items())
def test_platinum_is_the_table_of_iec_60751(cel, ohm):
    assert 100 * pt_iec60751(cel) == pytest.approx(ohm, abs=5e-3 + 1e-9)


def test_platinum_has_no_value_outside_the_standard():
    assert np.isnan(pt_iec60751([-201, 851])).all()


@pytest.mark.parametrize(("cel", "ratio"), COPPER.items())
def test_copper_is_that_of_iec_60028(cel, ratio):
    assert copper(cel) == pytest.approx(ratio, abs=5e-6)


def test_copper_falls_to_nothing_where_winding_tests_say():
    assert copper(reference.COPPER_INFERRED_ZERO_CEL) == pytest.approx(0, abs=2e-5)


@pytest.mark.parametrize(("beta", "ohms"), reference.NTC_BY_BETA.items())
def test_the_beta_law(beta, ohms):
    assert 10_000 * ntc_beta([0, 50, 85, 100], beta) == pytest.approx(ohms, abs=0.05 + 1e-9)


def test_a_data_sheets_point_at_50_cel():
    """B25/50 = 3380 and 4.161 kOhm at 50 Cel (data sheet, from memory): within its four digits."""
    assert 10_000 * ntc_beta(50, 3380) == pytest.approx(NTC_B3380[50], abs=2)


def test_beta_is_good_near_where_it_was_measured_and_4_per_cent_off_at_0_cel():
    """B25/85 = 3977: exact at 85 and within 1.2 % at 50 and 100, 4.1 % high at 0 (published curve)."""
    law = {cel: 10_000 * float(ntc_beta(cel, 3977)) for cel in reference.EXTENDED_FORM_3977}
    error = {cel: law[cel] / ohm - 1 for cel, ohm in reference.EXTENDED_FORM_3977.items()}
    assert abs(error[85]) < 1e-4
    assert max(abs(error[50]), abs(error[100])) < 0.012
    assert 0.035 < error[0] < 0.045


@pytest.mark.parametrize(
    ("cel", "ohm"), [*reference.LOGGER_TABLE.items(), *reference.CONTROL_TABLE.items()]
)
def test_published_tables_lie_within_the_registers_moved_limits(cel, ohm):
    """10 kOhm ± 5 % at 25 Cel, beta 3435-3977, moved to the table's temperature holds its value."""
    law = read_law("ntc_beta", "R25=10000; beta 3435-3977")
    low, high = moved_limits(law, 9500, 10_500, 25, cel)
    assert low <= ohm <= high


def test_limits_move_and_never_narrow():
    law = Law("ntc_beta", beta=(3435, 3977))
    low, high = moved_limits(law, 9000, 11_000, 25, 0)
    assert (low, high) == pytest.approx((9000 * 2.87043, 11_000 * 3.39004), rel=1e-5)
    assert high / low > 11_000 / 9000
    assert moved_limits(law, 9000, 11_000, 25, 25) == pytest.approx((9000, 11_000))


def test_copper_limits_move_4_per_cent_in_10_kelvin():
    """From 25 to 35 Cel: 1.05895 / 1.01965 (arithmetic)."""
    low, high = moved_limits(Law("copper"), 100, 120, 25, 35)
    assert (low, high) == pytest.approx((100 * 1.05895 / 1.01965, 120 * 1.05895 / 1.01965))


def test_a_platinum_limit_moves_from_20_cel_to_70_fahrenheit():
    """1077.9 ohm at 20 Cel become 1082.3 at 21.111 Cel (trade reference, computed there)."""
    low, _ = moved_limits(Law("pt_iec60751"), 1077.9, np.nan, 20, (70 - 32) / 1.8)
    assert low == pytest.approx(1082.3, abs=0.1)


@pytest.mark.parametrize(
    ("law", "ref", "cel"), [(None, 25, 0), (Law("copper"), None, 0), (Law("copper"), 25, None)]
)
def test_without_law_or_temperature_limits_stay(law, ref, cel):
    low, high = moved_limits(law, [1, np.nan], [2, 3], ref, cel)
    assert high.tolist() == [2, 3]
    assert low[0] == 1
    assert np.isnan(low[1])


@pytest.mark.parametrize(
    ("model", "params", "law"),
    [
        ("copper", "alpha=0.00393/K", Law("copper", 0.00393)),
        ("copper", "", Law("copper", 0.00393)),
        ("copper", "alpha=0.0041/K", Law("copper", 0.0041)),
        ("ntc_beta", "R25=10000; beta 3435-3977", Law("ntc_beta", beta=(3435, 3977))),
        ("ntc_beta", "beta 3977", Law("ntc_beta", beta=(3977, 3977))),
        ("ntc_beta", "5-10 kOhm at 25 Cel, +32 to -30 Cel", None),
        ("pt_iec60751", "as above", Law("pt_iec60751")),
        ("ptc_do_not_correct", "", None),
        ("nichrome", "alpha=0.00017/K, about +5 % hot", None),
        ("none", None, None),
    ],
)
def test_the_registers_wording_is_read(model, params, law):
    assert read_law(model, params) == law


def test_every_row_of_the_register_moves_as_the_sql_rule_moves_it():
    """The same words, read and moved by sql/core/reading_macros.sql, from -10 to 60 Cel.

    1e-6: below 0 Cel the SQL leaves out the last term of IEC 60751 (5e-7 of the value at -10).
    """
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/reading_macros"))
    statement = "SELECT core.moved_ratio($model, $alpha, $beta, $ref, $cel)"
    with TOLERANCES.open(encoding="utf-8", newline="") as file:
        rows = {(row["temp_model"], row["temp_params"]) for row in csv.DictReader(file)}
    moved = 0
    for model, params in sorted(rows):
        law = read_law(model, params)
        beta_range = law.beta if law and law.beta else (None, None)
        for cel in (-10, 0, 25, 60):
            values = {"model": model, "alpha": 0.00393, "ref": 25, "cel": cel}
            ((least,),) = connection.execute(statement, values | {"beta": beta_range[0]}).fetchall()
            ((most,),) = connection.execute(statement, values | {"beta": beta_range[1]}).fetchall()
            expected = sorted([least, most])
            assert moved_limits(law, 1, 1, 25, cel) == pytest.approx(expected, rel=1e-6)
            moved += least != 1
    assert moved >= 9  # copper, thermistors and platinum do move
