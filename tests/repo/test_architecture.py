"""The layout holds: who may import whom, SQL only from files, every piece of a measure present."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import duckdb
import pytest

import sql
from dashboard.measures import MEASURES

ROOT = Path(__file__).parents[2]
LAYERS = (  # top to bottom: a package imports from layers below its own only
    ("app", "cli", "views"),
    ("server", "loading"),
    ("card", "month", "sheet", "ui"),
    ("changes", "recording"),
    ("measures",),
    ("diagnosis", "power", "van_stock"),
    ("callbacks", "job", "pricing"),
    ("evidence",),
    ("database", "fairness", "readings"),
    ("filters", "text"),
    ("etl",),
    ("notes", "settings"),
    ("access",),
    ("errors",),
    ("etl/folder",),
    ("charts", "rows", "stats", "sql"),
)
LAYER_OF = {package: number for number, layer in enumerate(LAYERS) for package in layer}
WITH_PAGES = {"streamlit", "plotly"}
SLOW_TO_IMPORT = {"scipy.stats", "scipy.optimize"}  # who waits for the first page pays for them
# file name or folder: what it never imports itself
NEVER = {
    "dashboard/**/*charts.py": {"duckdb", "streamlit", "sql"},
    "dashboard/charts/*.py": {"duckdb", "streamlit", "sql", "etl"},
    "dashboard/**/*sentences.py": {"duckdb", *WITH_PAGES},
    "dashboard/**/compute.py": {"duckdb", *WITH_PAGES},
    "dashboard/text/*.py": {"duckdb", "streamlit"},
    "dashboard/stats/**/*.py": {"duckdb", "pandas", "sql", "etl", *WITH_PAGES},
    "dashboard/views/**/*.py": {"duckdb", "sql"},
    "dashboard/ui/*.py": {"duckdb"},
    "dashboard/cli/*.py": WITH_PAGES,
    "etl/**/*.py": {"dashboard", "scipy", *WITH_PAGES},
    "sql/*.py": {"etl", "dashboard", "duckdb", "pandas", "numpy", "scipy", *WITH_PAGES},
}
# module: packages that are not there after it was imported, whatever it imports on the way
NOT_LOADED = {
    "dashboard.cli.main": WITH_PAGES,
    "dashboard.measures": {"etl.load", "etl.read", "etl.readings", *SLOW_TO_IMPORT, *WITH_PAGES},
    "dashboard.month.load": WITH_PAGES | SLOW_TO_IMPORT,
    "dashboard.sheet.load": WITH_PAGES,
    "dashboard.database.query": {"etl.load", "etl.read", "etl.readings", "scipy", *WITH_PAGES},
    "dashboard.access.queries": {"duckdb", "pandas", *WITH_PAGES},
    "dashboard.settings.file": {"duckdb", "pandas", *WITH_PAGES},
    "dashboard.server.launch": {"duckdb", "pandas", *WITH_PAGES},
    "etl.load": {"dashboard", "scipy", *WITH_PAGES},
}
MAY_USE_ETL = {"records.py", "add_records.py", "settings.py"}
DUCKDB_IN_DASHBOARD = {"dashboard/database/connection.py", "dashboard/database/query.py"}


def python_files(place: str) -> list[Path]:
    """Return the Python files of a folder."""
    return sorted((ROOT / place).rglob("*.py"))


def imported_modules(path: Path) -> set[str]:
    """Return every module that a file imports, at its start or later."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            is_whole = node.module in ("dashboard", "etl")
            found |= {f"{node.module}.{n.name}" for n in node.names} if is_whole else {node.module}
    return found


def imports(path: Path) -> set[str]:
    """Return the top-level packages that a file imports."""
    return {module.split(".")[0] for module in imported_modules(path)}


def package_of(module: str) -> str | None:
    """Return the package of LAYERS that a module belongs to; None for other libraries."""
    top, *rest = module.split(".")
    if top == "dashboard" and rest:
        return "app" if rest[0].startswith("app") else rest[0]
    if top == "etl":
        return "etl/folder" if rest[:1] == ["folder"] else "etl"
    return "sql" if top == "sql" else None


def product_files() -> list[Path]:
    """Return the program's own Python files."""
    return [path for place in ("dashboard", "etl", "sql") for path in python_files(place)]


def test_packages_import_from_lower_layers_only():
    upward = set()
    for path in product_files():
        own = package_of(".".join(path.relative_to(ROOT).with_suffix("").parts))
        for module in imported_modules(path):
            other = package_of(module)
            if own and other and other != own and LAYER_OF[other] <= LAYER_OF[own]:
                upward.add((str(path.relative_to(ROOT)), module))
    assert upward == set()


def test_every_package_has_its_layer():
    folders = {
        path.name for path in (ROOT / "dashboard").iterdir() if (path / "__init__.py").exists()
    }
    assert folders | {"app", "views", "etl", "sql"} <= set(LAYER_OF)


@pytest.mark.parametrize("pattern", NEVER)
def test_no_file_imports_what_its_name_or_folder_forbids(pattern: str):
    files = sorted(ROOT.glob(pattern))
    assert files, f"{pattern} names no file"
    assert {path.name: imports(path) & NEVER[pattern] for path in files} == {
        path.name: set() for path in files
    }


@pytest.mark.parametrize("module", NOT_LOADED)
def test_importing_a_module_does_not_load_what_it_does_not_need(module: str):
    code = f"import sys, {module}; print(*sys.modules, sep=chr(10))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    ).stdout.split()
    assert set(loaded) & NOT_LOADED[module] == set()


def test_no_product_file_is_taken_for_a_test():
    names = [path.name for path in product_files()]
    assert [name for name in names if name.startswith("test_") or name.endswith("_test.py")] == []


def test_only_database_opens_the_database_for_the_dashboard():
    users = {
        str(path.relative_to(ROOT))
        for path in python_files("dashboard")
        if "duckdb" in imports(path)
    }
    assert users == DUCKDB_IN_DASHBOARD


def test_only_the_pages_that_change_the_database_use_etl():
    users = {path.name for path in python_files("dashboard/views") if "etl" in imports(path)}
    assert users <= MAY_USE_ETL


VIEWS = sorted((ROOT / "dashboard" / "views").glob("*.py"))


@pytest.mark.parametrize("path", VIEWS, ids=lambda path: path.stem)
def test_a_view_is_a_function_of_its_page(path: Path):
    """Nothing runs when the file is imported; Streamlit runs it as the main module."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    kinds = (
            ast.Import, ast.ImportFrom, ast.Assign, ast.AnnAssign, ast.FunctionDef, ast.ClassDef,
        )  # fmt: skip
    *definitions, last = body[1:]
    assert [ast.unparse(node)[:60] for node in definitions if not isinstance(node, kinds)] == []
    assert ast.unparse(last) == "if __name__ == '__main__':\n    shell.show(draw)"
    (draw,) = [node for node in definitions if getattr(node, "name", "") == "draw"]
    assert ast.unparse(draw.args) == "page: Page"


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
    """Streamlit takes a folder `pages` next to app.py for pages of its own and skips app.py."""
    assert not (ROOT / "dashboard" / "pages").exists()


def test_no_host_is_named_where_packages_are():
    """Pins and commands work with whatever index the machine is set to."""
    for name in ("constraints.txt", "pyproject.toml", "Makefile", ".ci/run"):
        assert "://" not in (ROOT / name).read_text(encoding="utf-8"), name
