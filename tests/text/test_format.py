"""One way to write each kind of number, for pages, report, tables and commands."""

from datetime import date

import pytest

from dashboard.text import format as text
from dashboard.text.limits import limits_words


@pytest.mark.parametrize(
    ("fraction", "low", "high", "written"),
    [
        (0.674, 0.60, 0.74, "67%"),
        (0.674, 0.670, 0.678, "67.4%"),  # the interval is narrower than a point
        (0.0, None, None, "0%"),
        (None, None, None, "–"),
    ],
)
def test_percent_has_as_many_digits_as_its_interval_supports(fraction, low, high, written):
    assert text.percent(fraction, low=low, high=high) == written


def test_a_share_that_rounds_to_zero_has_no_minus():
    assert text.percent(-0.004) == "0%"
    assert text.percent_range(-0.004, 0.02) == "0–2%"
    assert text.percent(-0.012) == "−1%"


def test_a_rate_carries_its_numbers_and_its_interval():
    assert text.rate(31, 42, 0.59, 0.85) == "31 of 42 jobs, 74% (59–85%)"
    assert text.rate(3, 9, 0.1, 0.7) == "3 of 9 jobs, too few for a percentage"
    assert text.rate(0, 0, None, None) == "no jobs to say it from"


@pytest.mark.parametrize(
    ("value", "currency", "written"),
    [
        (13913.4, "USD", "$13,913"),
        (-13913.4, "USD", "−$13,913"),
        (1200, "EUR", "€1,200"),
        (1200, "GBP", "£1,200"),
        (1200, None, "1,200"),
        (1200, "QQQ", "QQQ1,200"),  # no currency of ISO 4217: written as the records have it
        (None, "USD", "–"),
    ],
)
def test_money_has_the_currency_of_the_shop_and_thousands(value, currency, written):
    assert text.money(value, currency) == written


def test_only_unit_prices_have_cents_and_as_many_as_the_currency_has():
    """ISO 4217: the dollar has two decimals, the yen none."""
    assert text.money(4.5, "USD", is_unit_price=True) == "$4.50"
    assert text.money(450, "JPY", is_unit_price=True) == "¥450"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (89, "89 min"),
        (89.4, "89 min"),
        (90, "1 h 30 min"),
        (120, "2 h"),
        (-95, "−1 h 35 min"),
        (None, "–"),
    ],
)
def test_minutes_become_hours_from_ninety_on(value, written):
    assert text.minutes(value) == written


def test_a_temperature_is_shown_in_the_unit_of_the_shop():
    """0 °C = 32 °F and 100 °C = 212 °F by definition of the Fahrenheit scale."""
    assert [text.temperature(value) for value in (0, 100)] == ["32 °F", "212 °F"]
    assert text.significant(-18.4, "Cel") == "−1.1 °F"
    assert text.significant(10, "K") == "18 °F"  # a difference has no offset


def test_a_shop_that_reads_celsius_sees_no_other_unit():
    text.temperatures_in("C")
    try:
        assert text.temperature(-18.4) == "−18.4 °C"
        assert text.significant(10, "K") == "10 °C"
        assert limits_words(-20, 3, "Cel") == "−20 to 3 °C"
        assert text.as_stored(text.as_shown(5.0, "Cel"), "Cel") == 5.0
    finally:
        text.temperatures_in("F")


@pytest.mark.parametrize(("celsius", "ucum"), [(-40.0, "Cel"), (21.5, "Cel"), (8.0, "K")])
def test_what_is_entered_in_the_shown_unit_is_stored_as_it_was(celsius: float, ucum: str):
    assert text.as_stored(text.as_shown(celsius, ucum), ucum) == pytest.approx(celsius)


def test_days_and_months_are_written_out():
    assert text.day(date(2026, 3, 4)) == "Mar 4, 2026"
    assert text.month("2026-03") == text.month(date(2026, 3, 31)) == "March 2026"


def test_a_difference_of_rates_is_in_points():
    assert [text.points(d) for d in (0.052, -0.011, 0.001)] == ["+5 points", "−1 point", "0 points"]
