"""DuckDB and Spark give the same rows of every table of core and the same answer to every measure."""

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import ClassVar

import duckdb
import pandas as pd
import pytest
from sqlglot import exp

import sql
from dashboard import measures
from dashboard.database import connection as connections
from dashboard.database import query
from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.measures import MEASURES
from etl.engines.spark import on_spark
from etl.engines.spark_dialect import Macros, Portable, statements, to_spark
from etl.prepared import MACROS
from etl.steps import TO_FACTS, TO_READING_TEXTS
from tests.ask import measure, run
from tests.spark.parity import differing_answers, differing_rows, published
from tests.spark.two_loads import load_twice, records

pytestmark = pytest.mark.slow
ALL, SOME = (
    Filters(),
    Filters(date(2025, 9, 1), date(2026, 6, 30), branch=("Mill Lane", "Branch 01")),
)
QUESTIONS = {
    "everything": (ALL, {}),
    "one branch by technician": (SOME, {"group_by": "technician", "pattern": "not_tested"}),
}


@pytest.fixture(scope="module")
def shops(spark, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The sample shop and messy records, loaded by DuckDB and by Spark."""
    folder = tmp_path_factory.mktemp("parity")
    return load_twice(records(folder / "in", messy_jobs=2_000), folder, "local[2]")


@pytest.fixture(scope="module")
def ask(spark, shops, tmp_path_factory: pytest.TempPathFactory) -> Iterator:
    """A function that puts a SELECT of sql/ to Spark, over the facts that DuckDB published."""
    copy = shutil.copy(published(shops[0]), tmp_path_factory.mktemp("facts") / "facts.duckdb")
    macros = Macros()
    for step in (*MACROS, *TO_READING_TEXTS, *TO_FACTS):
        for tree in statements(sql.text(step)):
            if isinstance(tree, exp.Create) and tree.kind == "MACRO":
                macros.learn(tree)

    def answer(name: str, wanted: dict, say=to_spark) -> list[tuple]:
        (tree,) = statements(sql.text(name))
        rows = spark.sql(say(macros.written_out(tree)), args=wanted).collect()
        return [tuple(row) for row in rows]

    with duckdb.connect(str(copy)) as connection:
        _tables_of_views(connection)
        with on_spark(connection, "local[2]"):
            yield answer


def _tables_of_views(connection: duckdb.DuckDBPyConnection) -> None:
    """Write each view of core as a table: Spark is given tables only."""
    views = connection.execute(
        "SELECT view_name FROM duckdb_views() WHERE schema_name = 'core' AND NOT internal"
    ).fetchall()
    for (view,) in views:
        connection.execute(f"CREATE TABLE core.{view}_rows AS FROM core.{view}")
        connection.execute(f"DROP VIEW core.{view}")
        connection.execute(f"ALTER TABLE core.{view}_rows RENAME TO {view}")


def both(shops: tuple[Path, Path], ask, name: str, question: str, **said) -> tuple[list, list]:
    """Return DuckDB's and Spark's rows of one measure."""
    filters, chosen = QUESTIONS[question]
    given = filters.parameters() | measures.defaults(take(shops[0])) | chosen
    wanted = {key: given.get(key) for key in query.parameters_of(f"measures/{name}")}
    connection = connections.connection(published(shops[0])).cursor()
    ours = connection.execute(sql.text(f"measures/{name}"), wanted).fetchall()
    return ours, ask(f"measures/{name}", wanted, **said)


def test_every_table_of_core_has_the_same_rows(shops):
    found = differing_rows(*map(published, shops))
    assert {"jobs", "job_facts", "reading_facts", "problems", "unknown_words"} <= found.keys()
    assert found == dict.fromkeys(found, 0)


def test_what_is_published_is_in_the_same_order(shops):
    """Facts lie in order of closing, which is what makes the pages quick."""
    for name, column in (("job_facts", "job_id"), ("problems", "row_id"), ("limits", "limits_id")):
        ours, theirs = (_column(shop, name, column) for shop in shops)
        assert ours == theirs, name


def _column(shop: Path, table: str, column: str) -> list:
    connection = connections.connection(str(published(shop))).cursor()
    return connection.table(f"core.{table}").select(column).fetchall()


def _table(shop: Path, name: str) -> pd.DataFrame:
    return run(shop, f"measures/{name}", **measures.defaults(take(shop)))


def test_the_dashboard_reads_what_spark_published(shops):
    for name in MEASURES:
        ours, theirs = (_table(shop, name) for shop in shops)
        assert len(ours) == len(theirs) > 0, name
    assert measure(shops[1], "first_time_fix")["repaired"].sum() > 4_000


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("name", MEASURES)
def test_every_measure_has_the_same_answer(shops, ask, name: str, question: str):
    ours, theirs = both(shops, ask, name, question)
    assert ours
    assert differing_answers(ours, theirs) == 0


def test_one_changed_cell_is_found(shops, tmp_path: Path):
    changed = Path(shutil.copy(published(shops[1]), tmp_path / "changed.duckdb"))
    with duckdb.connect(str(changed)) as connection:
        connection.execute(
            "UPDATE core.job_facts SET labour_min = labour_min + 1 WHERE rowid = "
            "(SELECT min(rowid) FROM core.job_facts WHERE labour_min IS NOT NULL)"
        )
        connection.execute(
            "UPDATE core.jobs SET brand = brand || ' ' WHERE rowid = "
            "(SELECT min(rowid) FROM core.jobs WHERE brand IS NOT NULL)"
        )
        connection.execute(
            "UPDATE core.reading_verdicts SET p_out = p_out + 1e-9 WHERE verdict_key = "
            "(SELECT min(verdict_key) FROM core.reading_verdicts WHERE p_out IS NOT NULL "
            "AND verdict_key IN (SELECT verdict_key FROM core.taken_readings "
            "GROUP BY verdict_key HAVING count(*) = 1))"
        )
    found = differing_rows(published(shops[0]), changed)
    assert {name: count for name, count in found.items() if count} == {
        "job_facts": 1,
        "jobs": 2,  # the row as it was and as it is now
        "reading_facts": 1,
    }


class WithoutCasts(Portable):
    """Our dialect without the casts in avg and division: Spark's decimals have scales of their own."""

    class Generator(Portable.Generator):
        TRANSFORMS: ClassVar = {
            kind: said
            for kind, said in Portable.Generator.TRANSFORMS.items()
            if kind not in (exp.Avg, exp.Div)
        }


def test_casts_left_out_of_the_port_are_found(shops, ask):
    def say(tree: exp.Expression) -> str:
        return tree.sql(dialect=WithoutCasts)

    assert any(
        differing_answers(*both(shops, ask, name, "everything", say=say)) for name in MEASURES
    )
