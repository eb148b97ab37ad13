"""What a load on Spark says when it cannot run, and what it leaves behind."""

import sys
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from etl.engines.base import spark_at
from etl.engines.spark_dialect import Macros, NotPortable, statements, to_spark
from etl.load import load
from etl.raw.store import LoadError

JOBS = "job_id,opened_on,closed_on,appliance_kind,disposition\nA,2026-03-01,2026-03-02,dryer,repaired\n"


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """A file with one job."""
    path = tmp_path / "jobs.csv"
    path.write_text(JOBS, encoding="utf-8")
    return path


def test_without_java_the_load_says_so_and_leaves_nothing(jobs: Path, tmp_path: Path, monkeypatch):
    monkeypatch.delenv("JAVA_HOME", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(LoadError, match="needs Java 17"):
        load([jobs], tmp_path / "db", engine=spark_at("local[1]"))
    assert [path.name for path in (tmp_path / "db").glob("*.duckdb*")] == []
    assert load([jobs], tmp_path / "db").files[0].loaded == 1


def test_the_command_says_in_one_line_what_is_missing(
    jobs: Path, tmp_path: Path, monkeypatch, capsys
):
    monkeypatch.delenv("JAVA_HOME", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    call = ["load", str(jobs), "--db", str(tmp_path / "db"), "--engine", "spark"]
    assert cli.main(call) == 1
    assert capsys.readouterr().err.splitlines() == [
        "ohmhours: --engine spark needs Java 17 or newer: install it or set JAVA_HOME"
    ]


def test_without_the_extra_the_load_names_it(monkeypatch):
    monkeypatch.delitem(sys.modules, "etl.engines.spark", raising=False)
    monkeypatch.setitem(sys.modules, "pyspark", None)
    monkeypatch.setitem(sys.modules, "pyspark.errors", None)
    with pytest.raises(LoadError, match=r"pip install 'ohmhours\[spark\]'"):
        spark_at("local[1]")


def said(text: str) -> str:
    """Return the last statement of a text as Spark's SQL, with the macros before it."""
    *macros, select = statements(text)
    known = Macros()
    for macro in macros:
        known.learn(macro)
    return to_spark(known.written_out(select))


def test_a_macro_is_written_out_where_it_is_called():
    text = (
        "CREATE MACRO core.f(a_arg) AS a_arg + 1; CREATE MACRO core.g(b_arg) AS core.f(b_arg) * 2;"
    )
    assert said(f"{text} SELECT core.g(x - 3) AS y FROM t") == (
        "SELECT ((((x - 3)) + 1) * 2) AS y FROM t"
    )


def test_a_macro_that_gives_a_table_is_a_subquery_under_its_alias():
    text = "CREATE MACRO core.t_in(b_arg) AS TABLE SELECT a FROM core.t WHERE b = b_arg;"
    assert said(f"{text} SELECT s.a FROM core.t_in($x) AS s") == (
        "SELECT s.a FROM (SELECT a FROM core.t WHERE b = (:x)) AS s"
    )


def test_a_macro_that_is_not_known_is_named():
    with pytest.raises(NotPortable, match=r"core\.f is called before it is created"):
        said("SELECT core.f(x) AS y FROM t")


def test_the_end_of_a_text_is_its_last_letter():
    """Java's $ is content with a line end behind it, RE2's is not."""
    assert "'(?d)x\\\\z'" in said("SELECT regexp_matches(a, 'x$') AS y FROM t")
