"""How texts become dates, minutes, money and words: tables of cases, one definition each."""

import duckdb
import pytest

import sql


@pytest.fixture(scope="module")
def database() -> duckdb.DuckDBPyConnection:
    """A database with the text macros only."""
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/text_macros"))
    connection.execute("SET TimeZone = 'UTC'")
    return connection


DATES = [
    ("2026-03-04", "", "2026-03-04"),
    ("2026-3-4", "", "2026-03-04"),
    ("2026/03/04", "", "2026-03-04"),
    ("20260304", "", "2026-03-04"),
    ("2026-03-04T23:59:00", "", "2026-03-04"),
    ("03/04/2026", "MDY", "2026-03-04"),
    ("03/04/2026", "DMY", "2026-04-03"),
    ("3/4/26", "MDY", "2026-03-04"),
    ("3.4.2026", "DMY", "2026-04-03"),
    ("03/04/2026", "", None),  # two days fit, none is declared
    ("13/01/2026", "MDY", None),
    ("4 Mar 2026", "", "2026-03-04"),
    ("04-MAR-26", "", "2026-03-04"),
    ("Mar 4, 2026", "", "2026-03-04"),
    ("March 4 2026", "", "2026-03-04"),
    ("4 Foo 2026", "", None),
    ("Mar 4, 26", "", "2026-03-04"),
    ("Mar 4 '26", "", "2026-03-04"),
    ("Wed, Mar 4, 2026", "", "2026-03-04"),
    ("Wednesday 4 March 2026", "", "2026-03-04"),
    ("Wed 03/04/2026", "MDY", "2026-03-04"),
    ("Foo, Mar 4, 2026", "", None),
    ("Mar 4 10:15", "", None),
    ("2026-02-30", "", None),
    # ISO 8601 leap days: 2024 and 2000 are leap years, 2023 and 1900 are not
    ("2024-02-29", "", "2024-02-29"),
    ("2000-02-29", "", "2000-02-29"),
    ("2023-02-29", "", None),
    ("1900-02-29", "", None),
    # ISO 8601 week dates at the turn of years; 2006-W52-7 as printed in the standard's description,
    # all of them as Python's isocalendar gives them
    ("2004-W53-5", "", "2004-12-31"),
    ("2004-W53-7", "", "2005-01-02"),
    ("2006-W52-7", "", "2006-12-31"),
    ("2009-W01-1", "", "2008-12-29"),
    ("2020-W53-7", "", "2021-01-03"),
    ("2026W534", "", "2026-12-31"),
    ("2026-W53-7", "", "2027-01-03"),
    ("2025-W53-1", "", None),  # 2025 has 52 weeks
    ("2026-W00-1", "", None),
    ("2026-W10-8", "", None),
    ("yesterday", "", None),
    ("", "", None),
]


@pytest.mark.parametrize(("text", "order", "expected"), DATES)
def test_dates(database, text: str, order: str, expected: str | None):
    found = database.execute(
        "SELECT core.parsed_date($text, $date_order, NULL)::VARCHAR",
        {"text": text, "date_order": order},
    ).fetchall()[0][0]
    assert found == expected


SERIALS = [
    # Day numbers of the 1900 and 1904 date systems, as openpyxl converts them
    ("36526", "1900", "2000-01-01"),
    ("44197", "1900", "2021-01-01"),
    ("46023", "1900", "2026-01-01"),
    ("46023.5", "1900", "2026-01-01"),
    ("46023 09:05:00", "1900", "2026-01-01"),  # a day and a clock of two columns
    ("44561", "1904", "2026-01-01"),  # 46023 - 1462
    ("46023", None, None),  # a number in a text file is no date
]


@pytest.mark.parametrize(("text", "system", "expected"), SERIALS)
def test_day_numbers_of_workbooks(database, text: str, system: str | None, expected: str | None):
    found = database.execute(
        "SELECT core.parsed_date($text, '', $system)::VARCHAR", {"text": text, "system": system}
    ).fetchall()[0][0]
    assert found == expected


PROBLEMS = [
    ("03/04/2026", "", "date_order_unknown"),
    ("31/31/2026", "MDY", "date_not_understood"),
    ("soon", "", "date_not_understood"),
    ("2031-01-01", "", "date_in_future"),
    ("2026-01-01", "", ""),
]


@pytest.mark.parametrize(("text", "order", "expected"), PROBLEMS)
def test_what_is_wrong_with_a_date(database, text: str, order: str, expected: str):
    found = database.execute(
        "SELECT core.date_problem($text, $date_order, core.parsed_date($text, $date_order, NULL), "
        "DATE '2026-11-25')",
        {"text": text, "date_order": order},
    ).fetchall()[0][0]
    assert found == expected


TIMES = [
    ("2026-03-04 10:15", "2026-03-04 10:15:00"),
    ("2026-03-04T10:15:30", "2026-03-04 10:15:00"),
    ("03/04/2026 2:05 PM", "2026-03-04 14:05:00"),
    ("03/04/2026 12:05 am", "2026-03-04 00:05:00"),
    ("03/04/2026 12:05 PM", "2026-03-04 12:05:00"),
    ("2026-03-04", "2026-03-04 00:00:00"),
    ("2026-03-04 10:15Z", "2026-03-04 04:15:00"),  # Chicago is six hours behind in winter
    ("2026-03-04 10:15+02:00", "2026-03-04 02:15:00"),
    ("2026-03-04T10:15:30.25+0200", "2026-03-04 02:15:30.25"),
    ("2026/3/4 9:15-05:00", "2026-03-04 08:15:00"),
    ("2026-07-04 10:15Z", "2026-07-04 05:15:00"),  # and five in summer
    ("2026-03-04 10:15+02:75", None),
    ("2026-03-04 25:15Z", None),
    ("2026-03-04 24:00", "2026-03-05 00:00:00"),  # ISO 8601: the end of the day
    ("2026-03-04 24:01", None),
    ("10:15", None),
]


@pytest.mark.parametrize(("text", "expected"), TIMES)
def test_times_of_day(database, text: str, expected: str | None):
    found = database.execute(
        "SELECT core.parsed_timestamp($text, 'MDY', NULL, 'America/Chicago')::VARCHAR",
        {"text": text},
    ).fetchall()[0][0]
    assert found == expected


MINUTES = [
    ("80", 80), ("80m", 80), ("80 min", 80), ("80 minutes", 80), ("1:20", 80), ("1h20", 80),
    ("1 h 20 min", 80), ("1 hr", 60), ("1.5 h", 90), ("0:05", 5), ("-15", -15), ("12.5", 12.5),
    ("a while", None), ("1h 99 x", None), ("", None), ("1:2", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), MINUTES)
def test_minutes(database, text: str, expected: float | None):
    found = database.execute("SELECT core.parsed_minutes($text, '.')", {"text": text})
    assert found.fetchall()[0][0] == expected


MONEY = [
    ("$1,234.50", ".", "1234.50"), ("1234.5", ".", "1234.50"), ("1 234", ".", "1234.00"),
    ("1.234,50 €", ",", "1234.50"), ("USD 12.00", ".", "12.00"), ("-5", ".", "-5.00"),
    (".5", ".", "0.50"), ("1,23", ".", None), ("see bill", ".", None), ("12.34.56", ".", None),
    ("", ".", None), ("nan", ".", None), ("1e3", ".", None), ("99999999999", ".", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "decimal", "expected"), MONEY)
def test_money(database, text: str, decimal: str, expected: str | None):
    found = database.execute(
        "SELECT core.parsed_money($text, $sign)::VARCHAR", {"text": text, "sign": decimal}
    )
    assert found.fetchall()[0][0] == expected


FOLDED = [
    ("Won't  Heat!", "wont heat"), ("d/w", "d w"), ("Séchoir", "sechoir"), ("TF-1", "tf 1"),
    ("  ", ""), ("Ω", "ω"), ("no_heat", "no heat"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), FOLDED)
def test_words_are_compared_without_case_accent_and_punctuation(database, text: str, expected: str):
    found = database.execute("SELECT core.folded($text)", {"text": text})
    assert found.fetchall()[0][0] == expected
