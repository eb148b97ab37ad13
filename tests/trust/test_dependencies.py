"""What is installed to run: few named packages, each one used, each one pinned with all it brings."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions, requires
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NAMED = {
    "babel", "cachetools", "duckdb", "jinja2", "markupsafe", "numpy", "pandas", "phonenumbers", "platformdirs",
    "plotly", "pyarrow", "pydantic", "python-calamine", "rapidfuzz", "scipy", "starlette",
    "streamlit", "tomlkit",
}  # fmt: skip
OURS = {"etl", "dashboard", "sql", "sample_data", "tests"}
NOT_NAMED = {  # imported all the same: where it comes from
    "openpyxl": "an extra, needed only to rewrite the sample shop",
    "sqlglot": "an extra: only who builds with another engine needs it",
    "pyspark": "an extra: only who builds with another engine needs it",
    "py4j": "pyspark brings it",
    "typing_extensions": "for type checkers only",
}
MOST = 50  # packages in all, these and what they bring


def names(requirements: list[str]) -> set[str]:
    """Return the packages that requirements name, those for this Python only."""
    needed = [Requirement(text) for text in requirements]
    return {
        canonicalize_name(each.name)
        for each in needed
        if each.marker is None or each.marker.evaluate({"extra": ""})
    }


def everything(named: set[str]) -> set[str]:
    """Return packages with all that they bring."""
    found: set[str] = set()
    open_ends = set(named)
    while open_ends:
        found |= open_ends
        open_ends = set().union(*(names(requires(name) or []) for name in open_ends)) - found
    return found


def test_the_packages_needed_to_run_are_the_named_few():
    assert names(PROJECT["dependencies"]) == NAMED
    assert len(everything(NAMED)) <= MOST


def test_every_package_imported_is_one_of_them():
    imported = set()
    for place in ("etl", "dashboard", "sql", "sample_data"):
        for path in (ROOT / place).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Import):
                    imported |= {alias.name.split(".")[0] for alias in node.names}
                elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                    imported.add(node.module.split(".")[0])
    foreign = imported - OURS - set(sys.stdlib_module_names)
    owners = packages_distributions()
    used = {canonicalize_name(owners[name][0]) for name in foreign - set(NOT_NAMED)}
    assert used == NAMED  # no others, and none in vain


def test_each_is_pinned_with_all_that_it_brings():
    pins = (ROOT / "constraints.txt").read_text(encoding="utf-8")
    pinned = {canonicalize_name(name) for name in re.findall(r"(?m)^([\w.-]+)==", pins)}
    assert everything(NAMED) - pinned == set()


def test_the_audit_goes_over_those_pins():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    assert re.search(r"pip-audit .*--strict.*--requirement constraints\.txt", makefile)


def test_the_locked_file_has_the_same_pins_each_with_a_hash():
    """It is for one Python and system; pip refuses hashes in constraints of an editable install."""
    pins = set((ROOT / "constraints.txt").read_text(encoding="utf-8").split())
    locked = (ROOT / ".ci" / "requirements-locked.txt").read_text(encoding="utf-8")
    lines = [line for line in locked.splitlines() if not line.startswith("#")]
    assert len(lines) > 40
    own = {pin.split(";")[0].casefold().replace("-", "_") for pin in pins}
    locked_names = {canonicalize_name(line.split("==")[0]) for line in lines}
    assert everything(NAMED) - locked_names == set()  # none that runs is without its hash
    for line in lines:
        assert re.fullmatch(r"[\w.-]+==\S+ --hash=sha256:[0-9a-f]{64}", line), line
        assert line.split()[0].casefold().replace("-", "_") in own, line
