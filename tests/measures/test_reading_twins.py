"""The rules in SQL against a second implementation in Python, on drawn readings."""

import duckdb
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sql
from tests.independent import conformity as computed
from tests.independent.temperature import moved_limits, read_law

VALUES = st.floats(-50, 5e7).filter(lambda value: abs(value) > 1e-6)
LIMIT = st.none() | st.floats(-40, 1e7)


@pytest.fixture(scope="module")
def rules():
    """A database that holds the rules only."""
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/reading_macros"))
    yield connection
    connection.close()


def one(rules: duckdb.DuckDBPyConnection, statement: str, **values: object) -> tuple:
    """Return the one row of a statement."""
    (row,) = rules.execute(statement, values).fetchall()
    return row


@given(VALUES, st.floats(0, 5), st.integers(0, 20), st.sampled_from((0.01, 0.1)), st.floats(0, 1))
@settings(max_examples=150, deadline=None)
def test_half_width(rules, value, accuracy, digits, resolution, lead):
    (found,) = one(
        rules,
        "SELECT core.meter_half_width($v::DOUBLE, $a::DOUBLE, $d, $r::DOUBLE, 4000, $l::DOUBLE)",
        v=value, a=accuracy, d=digits, r=resolution, l=lead,
    )  # fmt: skip
    expected = computed.half_width(value, accuracy, digits, resolution, lead, 4000)
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)


@given(VALUES, st.floats(1e-3, 1e4), st.lists(LIMIT, min_size=4, max_size=4))
@settings(max_examples=200, deadline=None)
def test_chances_and_decision(rules, value, half_width, limits):
    """Tolerance 2e-7: the normal distribution of the SQL is good to 7.5e-8 on each side."""
    rising = iter(sorted(limit for limit in limits if limit is not None))
    below, low, high, above = (None if limit is None else next(rising) for limit in limits)
    expected = computed.conformity(value, half_width, low, high, below, above)
    if expected is None:
        return
    inside, outside, decision = one(
        rules,
        """
        WITH chances AS (
            SELECT
                core.chance_inside($v, $a / sqrt(3), $low, $high) AS inside,
                core.chance_outside($v, $a / sqrt(3), $low, $high, $below, $above) AS outside,
        )
        SELECT inside, outside, core.decided(inside, outside, 'none') FROM chances
        """,
        v=value, a=half_width, low=low, high=high, below=below, above=above,
    )  # fmt: skip
    assert (inside, outside) == pytest.approx((expected.p_inside, expected.p_outside), abs=2e-7)
    if min(abs(expected.p_inside - 0.95), abs(expected.p_outside - 0.95)) > 1e-6:
        assert decision == expected.verdict


@given(
    st.sampled_from(
        (
            ("copper", "alpha=0.00393/K"),
            ("ntc_beta", "R25=10000; beta 3435-3977"),
            ("pt_iec60751", "R0=1000"),
            ("none", None),
        )
    ),
    st.floats(-30, 90),
    st.sampled_from((None, 20.0, 25.0)),
)
@settings(max_examples=100, deadline=None)
def test_moved_limits(rules, law, cel, reference):
    found = one(
        rules,
        """
        WITH ratios AS (
            SELECT
                core.moved_ratio($model, 0.00393, 3435, $ref, $cel) AS first,
                core.moved_ratio($model, 0.00393, 3977, $ref, $cel) AS second,
        )
        SELECT 100 * least(first, second), 200 * greatest(first, second) FROM ratios
        """,
        model=law[0], ref=reference, cel=cel,
    )  # fmt: skip
    low, high = moved_limits(read_law(*law), 100.0, 200.0, reference, cel)
    assert found == pytest.approx((float(low), float(high)), rel=1e-9)
