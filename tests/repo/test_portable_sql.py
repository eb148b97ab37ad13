"""SQL of core, staged and measures says nothing that Spark would read in another way."""

from pathlib import Path

import pytest

import sql
from etl.steps import TO_FACTS, TO_READING_TEXTS
from tests.repo.portable_rules import FUNCTIONS, RULES, offences

FOLDERS = ("core", "staged", "measures")
FILES = [
    f"{folder}/{path.stem}"
    for folder in FOLDERS
    for path in sorted((Path(sql.__file__).parent / folder).glob("*.sql"))
]
# rule, a SELECT that offends against it, the same meant rightly
PLANTED = [
    ("division", "SELECT a / b AS c FROM t", "SELECT a / nullif(b, 0) AS c FROM t"),
    ("division", "SELECT a / 0 AS c FROM t", "SELECT a / 60 AS c FROM t"),
    ("whole number", "SELECT (a / 2)::INTEGER AS c", "SELECT floor(a / 2)::INTEGER AS c"),
    (
        "first match",
        "SELECT regexp_replace(a, 'x', '') AS c",
        "SELECT regexp_replace(a, 'x', '', 'g') AS c",
    ),
    (
        "replaced pattern",
        "SELECT regexp_replace(a, 'x$|y', '', 'g') AS c",
        "SELECT regexp_replace(a, '[$x]$', '', 'g') AS c",
    ),
    (
        "extracted pattern",
        "SELECT regexp_extract(a, b, 1) AS c",
        "SELECT regexp_extract(a, '(b)', 1) AS c",
    ),
    ("matched pattern", "SELECT regexp_matches(a, '(x$)') AS c", "SELECT regexp_matches(a, 'x$') AS c"),
    ("date_diff", "SELECT date_diff('month', a, b) AS c", "SELECT date_diff('day', a, b) AS c"),
    ("format", "SELECT strftime(a, '%G-%V') AS c", "SELECT strftime(a, '%Y-%m') AS c"),
    ("percentile", "SELECT quantile_cont(a, 0.5) AS c", "SELECT quantile_cont(a::DOUBLE, 0.5) AS c"),
    ("percentile", "SELECT quantile_cont(a::DOUBLE, b) AS c", "SELECT quantile_cont(a::DOUBLE, 0.1) AS c"),
    ("money", "SELECT a::DECIMAL(9, 3) AS c", "SELECT a::DECIMAL(12, 2) AS c"),
    ("function", "SELECT bar(a, 1, 9) AS c", "SELECT core.bar_of(a) AS c"),
    ("unknown", "SELECT isodow(a) AS c", "SELECT core.weekday(a) AS c"),
    (
        "generator",
        "SELECT lower(unnest(string_split(a, '|'))) AS c",
        "SELECT unnest(string_split(a, '|')) AS c",
    ),
    (
        "by name",
        "SELECT a FROM t UNION ALL BY NAME SELECT a FROM u",
        "SELECT a FROM t UNION ALL SELECT a FROM u",
    ),
    (
        "recursion",
        "WITH RECURSIVE r AS (SELECT a FROM t UNION SELECT a FROM r) SELECT a FROM r",
        "WITH RECURSIVE r AS (SELECT a FROM t UNION ALL SELECT a FROM r) SELECT a FROM r",
    ),
    (
        "ranked groups",
        "SELECT a FROM t GROUP BY a QUALIFY row_number() OVER (ORDER BY a) = 1",
        "SELECT a FROM t QUALIFY row_number() OVER (ORDER BY a) = 1",
    ),
    ("replaced column", "SELECT * REPLACE (1 AS a) FROM t", "SELECT * EXCLUDE (a) FROM t"),
    ("distinct on", "SELECT DISTINCT ON (a) b FROM t", "SELECT DISTINCT b FROM t"),
    (
        "named window",
        "SELECT sum(a) OVER w - a AS c FROM t WINDOW w AS (ORDER BY a)",
        "SELECT (sum(a) OVER w) - a AS c FROM t WINDOW w AS (ORDER BY a)",
    ),
    ("alias", "SELECT a b FROM t", "SELECT a AS b FROM t"),
    ("alias", "SELECT x.a FROM t x", "SELECT x.a FROM t AS x"),
    ("unknown", "SELECT a[1:2] AS c", "SELECT substr(a, 1, 2) AS c"),
    ("unknown", "SELECT list_transform(a, lambda x: x + 1) AS c", "SELECT a + 1 AS c"),
    ("nearest join", "SELECT a FROM t ASOF JOIN u ON t.b >= u.b", "SELECT a FROM t JOIN u ON t.b = u.b"),
    ("unknown", "PIVOT t ON a USING sum(b)", "SELECT sum(b) AS b FROM t"),
    ("unknown", "SELECT mode(a) AS c FROM t", "SELECT min(a) AS c FROM t"),
    ("unknown", "SELECT list(a ORDER BY b) AS c FROM t", "SELECT arg_min(a, b) AS c FROM t"),
]  # fmt: skip


@pytest.mark.parametrize("name", FILES)
def test_every_file_is_portable(name: str):
    assert offences(sql.text(name), needs_order=name.startswith("measures/")) == []


def test_every_step_of_the_load_is_held_to_the_rules():
    assert {*TO_READING_TEXTS, *TO_FACTS} <= set(FILES)


@pytest.mark.parametrize(("rule", "offending", "right"), PLANTED)
def test_a_planted_offence_is_named(rule: str, offending: str, right: str):
    assert any(found.startswith(f"{rule}: ") for found in offences(offending)), offending
    assert offences(right) == []


def test_every_rule_has_a_planted_offence():
    assert {rule for rule, *_ in PLANTED} == {*RULES, "alias", "unknown"}


def test_an_answer_without_an_order_is_named():
    assert offences("SELECT a FROM t", needs_order=True)
    assert not offences("SELECT a FROM t ORDER BY a", needs_order=True)


def test_the_functions_said_otherwise_are_used():
    """A repair that nothing needs any more is taken out."""
    texts = " ".join(sql.text(name) for name in FILES)
    assert [name for name in FUNCTIONS if f"{name}(" not in texts] == []
