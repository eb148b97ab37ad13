"""Every error of the program that a user can meet has one base class, so no list can miss one."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2]
NOT_SHOWN = {
    "UserError",  # the base class itself
    "Stopped",  # an interrupt, not an error; the command exits with 130
    "NotPortable",  # a mistake in our own SQL, found by the tests of the Spark dialect
}


def error_classes() -> dict[str, set[str]]:
    """Return each exception class of the program with the names of its bases."""
    found = {}
    for folder in ("dashboard", "etl", "sql"):
        for path in (ROOT / folder).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.ClassDef):
                    found[node.name] = {
                        getattr(b, "id", getattr(b, "attr", "")) for b in node.bases
                    }
    return found


def test_every_error_class_comes_from_user_error():
    classes = error_classes()

    def bases(name: str) -> set[str]:
        own = classes.get(name, set())
        return own | {base for each in own for base in bases(each)}

    errors = {n for n in classes if bases(n) & {"Exception", "ValueError", "UserError"}}
    assert len(errors) > 8
    assert {n for n in errors - NOT_SHOWN if "UserError" not in bases(n)} == set()


def test_commands_pages_and_loads_catch_the_base_class():
    for file in ("cli/main.py", "ui/shell.py", "loading/worker.py", "loading/panel.py"):
        text = (ROOT / "dashboard" / file).read_text(encoding="utf-8")
        assert "except UserError" in text or "isinstance(problem, UserError)" in text, file
