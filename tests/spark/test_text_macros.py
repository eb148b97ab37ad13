"""Texts become dates, times, numbers and words alike on Spark, at every edge that the macros know."""

import duckdb
import pyarrow as pa
import pytest

import sql
from etl.engines.spark import SAID_ALIKE
from etl.engines.spark_dialect import Macros, statements, to_spark
from tests.etl.test_text_macros import DATES, FOLDED, MINUTES, MONEY, SERIALS, TIMES

pytestmark = pytest.mark.slow
MORE = [  # where the two engines' own casts and regular expressions go apart
    "2024", "2024-1", " 2024-01-05", "0024-01-05", "1_000", "12d", "1e3", "0x1F", "+5", "١٢", "10:15 pm\n",
    "4 Mar 2026\u2028", "12\u00a0min", "İstanbul", "ΟΔΟΣ ΟΔΟΣ", "STRASSE ß", "Ω-Meter", "a.b", "x", "24:00",
    "2026-03-04 24:00Z", "2026-03-04T09:05:07.123456789Z", "2026-03-04 10:15+0530", "2026-11-01 01:30-05:00",
    "2026-11-01 06:30Z", "60000", "99999", "00060", "13/13/2026", "2026W017", "0001-W02-1", "9999-W51-7",
    "$1,234.565", "1.234,5 EUR", "-.5", ".5", "5.", "1,23,456", "999999999999.99", "12 h 75 min",
]  # fmt: skip
CALLS = {
    "folded": "core.folded(text)",
    "month first": "core.parsed_date(text, 'MDY', NULL)",
    "day first": "core.parsed_date(text, 'DMY', NULL)",
    "1900": "core.parsed_date(text, '', '1900')",
    "1904": "core.parsed_date(text, '', '1904')",
    "what is wrong": "core.date_problem(text, '', core.parsed_date(text, '', NULL), DATE '2026-11-25')",
    "time of day": "core.parsed_timestamp(text, 'MDY', NULL, 'America/Chicago')",
    "time elsewhere": "core.parsed_timestamp(text, 'DMY', '1900', 'Asia/Kolkata')",
    "minutes": "core.parsed_minutes(text, '.')",
    "minutes with commas": "core.parsed_minutes(text, ',')",
    "money": "core.parsed_money(text, '.')",
    "money with commas": "core.parsed_money(text, ',')",
    "count": "core.parsed_count(text)",
    "yes": "core.is_yes(text)",
}


@pytest.fixture(scope="module")
def texts(spark) -> list[str]:
    """Every text of the macros' own tests, and more, as the table `texts` of both engines."""
    cases = (DATES, SERIALS, TIMES, MINUTES, MONEY, FOLDED)
    found = sorted({str(case[0]) for table in cases for case in table} | set(MORE))
    for key, value in SAID_ALIKE.items():
        spark.conf.set(key, value)
    spark.createDataFrame([(text,) for text in found], "text string").createOrReplaceTempView(
        "texts"
    )
    return found


@pytest.mark.parametrize("call", CALLS)
def test_a_text_means_the_same(spark, texts, call: str):
    query = f"SELECT text, {CALLS[call]} AS found FROM texts ORDER BY text"
    with duckdb.connect() as connection:
        connection.execute("SET TimeZone = 'UTC'; CREATE SCHEMA core")
        connection.execute(sql.text("core/text_macros"))
        connection.register("texts", pa.table({"text": texts}))
        ours = connection.execute(query).fetchall()
    macros = Macros()
    for tree in statements(sql.text("core/text_macros")):
        macros.learn(tree)
    (tree,) = statements(query)
    theirs = [tuple(row) for row in spark.sql(to_spark(macros.written_out(tree))).collect()]
    assert any(found is not None for _, found in ours)
    assert [pair for pair in zip(ours, theirs, strict=True) if pair[0] != pair[1]] == []
