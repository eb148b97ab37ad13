"""Charts of readings: what part of the axis is shown, round ticks, weak limits dashed."""

import pandas as pd
import pytest

from dashboard.readings.charts import _round_ticks, beyond, distribution, view_of
from dashboard.readings.review_charts import roc


def bins(*rows: tuple[float, float, int], is_log: bool = False) -> pd.DataFrame:
    """Draw closed bins (from, to, readings) of parts that stayed."""
    return pd.DataFrame(
        [
            {
                "is_replaced": False, "is_open": False, "is_log": is_log, "bin_low": low,
                "bin_high": high, "smallest": low, "largest": high, "readings": count,
            }
            for low, high, count in rows
        ]
    )  # fmt: skip


LIMITS = pd.Series(
    {
        "p05": 9.0, "p95": 10.0, "tol_low": 8.0, "tol_high": 10.0, "fail_below": 4.0,
        "fail_above": 40.0, "confidence": "medium",
    }
)  # fmt: skip


def test_the_view_is_the_bulk_one_and_a_half_times_as_wide_each_way():
    """5 % to 95 % is 9 to 10: 7.5 to 11.5, cut at the smallest reading."""
    drawn = bins((8.5, 9, 5), (9, 10, 90), (70, 71, 2))
    assert view_of(drawn, LIMITS) == (8.5, 11.5)
    assert beyond(drawn, view_of(drawn, LIMITS)) == 2


def test_all_is_shown_where_nothing_lies_far_out():
    drawn = bins((8.5, 9, 5), (9, 10, 90))
    assert view_of(drawn, LIMITS) is None
    assert beyond(drawn, None) == 0


def test_a_logarithmic_axis_shows_all():
    assert view_of(bins((1, 10, 5), (1e6, 1e7, 5), is_log=True), LIMITS) is None


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (0, 10, [0, 2, 4, 6, 8, 10]),
        (9.1, 10.6, [9.2, 9.4, 9.6, 9.8, 10, 10.2, 10.4, 10.6]),
        (5, 5, [5]),
    ],
)
def test_ticks_are_round(low, high, ticks):
    found = _round_ticks(low, high)
    assert set(ticks) <= set(found)
    assert len(found) <= 11


@pytest.mark.parametrize(("confidence", "dash"), [("weak", "dash"), ("medium", "solid")])
def test_a_weak_limit_is_a_dashed_outline(confidence, dash):
    figure = distribution(
        bins((8, 12, 5)), pd.Series(dict(LIMITS) | {"confidence": confidence}), "Ω"
    )
    (band,) = [shape for shape in figure.layout.shapes if shape.type == "rect"]
    assert band.line.dash == dash
    assert (band.x0, band.x1) == (8, 10)


def test_without_an_open_reading_there_is_no_open_panel():
    figure = distribution(bins((8, 12, 5)), LIMITS, "Ω")
    assert figure.layout.xaxis.domain == (0, 1)
    assert len(figure.data) == 2


def test_a_curve_of_parts_that_lie_below_turns_round():
    """Condemned below: what is found at a value is what does not lie above it."""
    curve = pd.DataFrame({"found_above": [0.0, 0.5, 1.0], "blamed_above": [0.5, 1.0, 1.0]})
    row = pd.Series({"condemns": "below", "is_suggested": False})
    line = roc(curve, row).data[0]
    assert list(line.x) == [1, 0.5, 0.0, 0.0, 0]
    assert list(line.y) == [1, 1.0, 0.5, 0.0, 0]
