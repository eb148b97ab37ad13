"""No text of a record, address, file name or setting becomes SQL: by the code, and while it runs."""

import ast
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

import sql
from dashboard import measures
from dashboard.database import connection as connections
from dashboard.database import query
from dashboard.filters import Filters
from tests import ask
from tests.shop_builder import shop
from tests.test_pages import PAGES, opened
from tests.trust.hostile_shop import CURRENCY, MARKUP, PATHS, PAYLOADS, PEOPLE, SQL

ROOT = Path(__file__).parents[2]
TAKE_SQL = {"execute", "executemany", "sql", "query", "from_query", "extract_statements"}
TAKE_NAMES = {"table", "create", "create_view", "insert_into", "aggregate", "view"}
ALLOWED = {  # file and function: why its SQL, or the name of its SQL file, is no plain text
    ("etl/prepared.py", "_load_lookups"): "table names are those of our own sql/lookups/*.csv",
    ("etl/prepared.py", "begin"): "the name of the database it works on, quoted",
    ("etl/prepared.py", "_made"): "the steps are two tuples of constants in the same file",
    ("etl/engines/base.py", "run"): "its callers pass steps out of the tuples in etl/steps.py",
    ("etl/incremental.py", "add_touched"): "the steps are a tuple of constants in the loop itself",
    (
        "etl/incremental.py",
        "_build_some",
    ): "three names of work databases, written in the same file",
    ("etl/raw/store.py", "_number"): "its callers pass constants (tested below)",
    ("etl/folder/schema.py", "schema_of"): "its callers pass constants (tested below)",
    ("etl/folder/integrity.py", "tables_of"): "one constant, parted over two lines and named",
    ("etl/folder/integrity.py", "row_counts"): "names of tables that the file itself lists",
    ("etl/raw/reread.py", "effect"): "two names of work databases, written in the same file",
    (
        "etl/words/understand.py",
        "understand",
    ): "its callers pass the pairs of UNDERSTOOD in etl/steps.py",
    ("etl/folder/integrity.py", "fault"): "names, quoted, of tables that the file itself lists",
    (
        "dashboard/database/query.py",
        "parameters_of",
    ): "names a file of sql/; watched at run time below",
    ("dashboard/database/query.py", "_rows"): "names a file of sql/; watched at run time below",
    (
        "dashboard/ui/widgets.py",
        "header_of",
    ): "reads a file of sql/ to show it; nothing is executed",
}
# whole files: the same SQL files in another engine, with names out of those files only
OTHER_ENGINES = {"etl/engines/spark.py", "etl/engines/spark_dialect.py"}
PASS_SQL_ON = {"etl/raw/store.py": "_number", "etl/": "schema_of", "dashboard/": "schema_of"}


def python_files() -> list[Path]:
    """Return the program's own Python files."""
    return [path for place in ("etl", "dashboard", "sql") for path in (ROOT / place).rglob("*.py")]


def calls(tree: ast.AST, inside: str = "") -> Iterator[tuple[str, ast.Call]]:
    """Yield every call with the name of its enclosing function."""
    for node in ast.iter_child_nodes(tree):
        is_function = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        if isinstance(node, ast.Call):
            yield inside, node
        yield from calls(node, node.name if is_function else inside)


def named(call: ast.Call) -> str:
    """Return the name of what is called, without what stands before the dot."""
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def constants(tree: ast.Module) -> dict[str, ast.expr]:
    """Return what the module binds to names in capitals."""
    return {
        target.id: node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name) and target.id.isupper()
    }


def is_fixed(node: ast.expr, known: dict[str, ast.expr]) -> bool:
    """Say whether an expression can only be a text of our own files."""
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str)
    if isinstance(node, ast.Call) and ast.unparse(node.func) == "sql.text":
        return isinstance(node.args[0], ast.Constant)
    if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name):
        table = known.get(node.value.id)
        return isinstance(table, ast.Dict) and all(is_fixed(each, {}) for each in table.values)
    return isinstance(node, ast.Name) and node.id.isupper()  # a constant, of here or imported


def doubtful() -> dict[tuple[str, str], list[str]]:
    """Return every place where a text that is not fixed is taken for SQL."""
    found: dict[tuple[str, str], list[str]] = {}
    for path in python_files():
        place = path.relative_to(ROOT).as_posix()
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for function, call in calls(tree):
            name = named(call)
            is_text = ast.unparse(call.func) == "sql.text"
            is_arrow = ast.unparse(call.func) == "pa.table"
            is_sql = isinstance(call.func, ast.Attribute) and (
                name in TAKE_SQL
                or (name in TAKE_NAMES and place.startswith("etl/") and not is_arrow)
            )
            if call.args and (is_sql or is_text) and not is_fixed(call.args[0], constants(tree)):
                found.setdefault((place, function), []).append(ast.unparse(call)[:100])
    return found


def test_sql_comes_only_from_our_own_files():
    places = {
        place: message for place, message in doubtful().items() if place[0] not in OTHER_ENGINES
    }
    assert {place: message for place, message in places.items() if place not in ALLOWED} == {}


def test_every_exception_is_still_needed():
    assert set(ALLOWED) - set(doubtful()) == set()


def test_functions_that_pass_sql_on_get_constants():
    seen = set()
    for path in python_files():
        place = path.relative_to(ROOT).as_posix()
        passing = {name for start, name in PASS_SQL_ON.items() if place.startswith(start)}
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for _, call in calls(tree):
            if named(call) in passing and len(call.args) > 1:
                assert is_fixed(call.args[1], constants(tree)), (path, ast.unparse(call))
                seen.add(named(call))
    assert seen == set(PASS_SQL_ON.values())


@pytest.mark.parametrize(
    "code",
    [
        'connection.execute(f"SELECT {name}")',
        'connection.execute("SELECT " + name)',
        'connection.execute("SELECT %s" % name)',
        'connection.execute("SELECT {}".format(name))',
        "connection.execute(name)",
        "connection.execute(names[0])",
        'connection.execute(sql.text(f"pages/{name}"))',
        "connection.execute(sql.text(name))",
    ],
)
def test_the_lint_sees_text_put_together(code: str):
    ((_, call), *_) = calls(ast.parse(code))
    assert not is_fixed(call.args[0], {})


FILES = {
    sql.text(path.relative_to(ROOT / "sql").with_suffix("").as_posix())
    for path in (ROOT / "sql").rglob("*.sql")
}


class Watched:
    """A connection that notes every SQL text and each value bound to it."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, texts: set[str]) -> None:
        self.connection, self.texts = connection, texts

    def cursor(self) -> "Watched":
        return Watched(self.connection.cursor(), self.texts)

    def execute(self, text: str, *values: object):
        self.texts.add(text)
        return self.connection.execute(text, *values)

    def __getattr__(self, name: str) -> object:
        return getattr(self.connection, name)


@pytest.fixture
def texts(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Every SQL text that the pages run in this test."""
    seen: set[str] = set()
    connect = connections.connection.__wrapped__
    query._rows.cache.clear()
    measures._computed.cache.clear()
    monkeypatch.setattr(query, "connection", lambda path: Watched(connect(path), seen))
    return seen


def test_filters_and_parameters_of_payloads_run_only_our_own_sql(texts, tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | technician
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | '; DROP TABLE x; --
    """
    folder = shop(tmp_path, jobs=jobs)
    for payload in (*SQL, *MARKUP[:2], *PATHS[:2]):
        everything = dict.fromkeys(
            ("branch", "technician", "appliance_kind", "symptom"), (payload,)
        )
        assert ask.measure(folder, "callbacks", Filters(**everything)).empty
        assert ask.run(folder, "pages/job_timeline_job", job_id=payload).empty
        ask.measure(folder, "first_time_fix", group_by=payload)
    assert texts
    assert texts <= FILES


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES)
def test_every_page_of_the_hostile_shop_runs_only_our_own_sql(page, texts, hostile, monkeypatch):
    query = {"technician": PEOPLE[6], "job": CURRENCY, "by": PAYLOADS[0], "complaint": PAYLOADS[1]}
    app = opened(page, hostile, monkeypatch, **query)
    assert not app.exception
    assert texts
    assert texts <= FILES
