"""The layout holds: who may import whom, SQL only from files, every piece of a measure present."""

import ast
import re
from pathlib import Path

import duckdb
import pytest

import sql
from dashboard.measures import MEASURES

ROOT = Path(__file__).parents[2]
FORBIDDEN = {
    "sql": {"etl", "dashboard", "duckdb", "pandas", "numpy", "scipy", "streamlit", "plotly"},
    "etl": {"dashboard", "streamlit", "plotly", "scipy"},
    "dashboard/stats": {"duckdb", "pandas", "streamlit", "plotly", "sql", "etl"},
    "dashboard/charts": {"duckdb", "streamlit", "sql", "etl"},
    "dashboard/text/format.py": {"duckdb", "streamlit", "sql", "etl", "plotly"},
    "dashboard/database": {"streamlit", "plotly"},
    "dashboard/views": {"duckdb", "sql"},
}
MAY_USE_ETL = {"records.py", "add_records.py", "settings.py"}
DUCKDB_IN_DASHBOARD = {"dashboard/database/connection.py", "dashboard/database/query.py"}


def python_files(place: str) -> list[Path]:
    """Return the files of a folder, or those whose path starts with the place."""
    folder = ROOT / place
    if folder.is_dir():
        return sorted(folder.rglob("*.py"))
    return sorted(p for p in ROOT.rglob("*.py") if str(p.relative_to(ROOT)).startswith(place))


def imports(path: Path) -> set[str]:
    """Return the top-level packages that a file imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


@pytest.mark.parametrize("place", FORBIDDEN)
def test_no_file_imports_what_its_place_forbids(place: str):
    files = python_files(place)
    assert files, f"{place} has no Python file"
    for path in files:
        assert not imports(path) & FORBIDDEN[place], path


def test_only_data_py_opens_the_database_for_the_dashboard():
    users = {
        str(path.relative_to(ROOT))
        for path in python_files("dashboard")
        if "duckdb" in imports(path)
    }
    assert users == DUCKDB_IN_DASHBOARD


def test_only_the_pages_that_change_the_database_use_etl():
    users = {path.name for path in python_files("dashboard/views") if "etl" in imports(path)}
    assert users <= MAY_USE_ETL


def sql_files() -> list[str]:
    """Return every SQL file by the name that sql.text takes."""
    folder = ROOT / "sql"
    return sorted(str(p.relative_to(folder).with_suffix("")) for p in folder.rglob("*.sql"))


@pytest.mark.parametrize("name", sql_files())
def test_every_sql_file_says_in_a_header_what_it_is(name: str):
    header = [line for line in sql.text(name).splitlines() if line.startswith("--")]
    assert header, name
    assert len(header[0]) > 15, name
    if name.startswith("measures/"):
        text = "\n".join(header)
        assert all(word in text for word in ("grain:", "counts:")), name


@pytest.mark.parametrize(
    "name", [n for n in sql_files() if n.startswith(("access/", "measures/", "pages/"))]
)
def test_measures_and_page_queries_are_one_select_each(name: str):
    (statement,) = duckdb.extract_statements(sql.text(name))
    assert statement.type == duckdb.StatementType.SELECT, name


@pytest.mark.parametrize("name", sql_files())
def test_no_division_goes_unguarded(name: str):
    """n = 0 gives NaN or infinity without an error in DuckDB: every divisor is nullif or a number."""
    body = re.sub(r"--.*|'[^']*'", "", sql.text(name))
    for divisor in re.findall(r"/+\s*([^\s/]+)", body):
        assert re.match(r"(nullif\(|-?\d|-ln\(|at_risk|bins|widths\.span|coalesce\()", divisor), (
            name,
            divisor,
        )


@pytest.mark.parametrize("measure", MEASURES)
def test_every_measure_has_sql_a_test_a_page_and_a_line_in_the_readme(measure: str):
    assert (ROOT / "sql" / "measures" / f"{measure}.sql").is_file()
    views = "\n".join(p.read_text(encoding="utf-8") for p in python_files("dashboard/views"))
    assert f'"{measure}"' in views
    tests = "\n".join(
        p.read_text(encoding="utf-8") for p in (ROOT / "tests" / "measures").glob("test_*.py")
    )
    assert f'"{measure}"' in tests
    assert f"`{measure}`" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_no_page_folder_is_called_pages():
    """Streamlit takes a folder `pages` beside app.py for pages of its own and skips app.py."""
    assert not (ROOT / "dashboard" / "pages").exists()


def test_no_host_is_named_where_packages_are():
    """Pins and commands work with whatever index the machine is set to."""
    for name in ("constraints.txt", "pyproject.toml", "Makefile", ".ci/run"):
        assert "://" not in (ROOT / name).read_text(encoding="utf-8"), name
