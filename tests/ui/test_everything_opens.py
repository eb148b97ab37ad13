"""Every chart and table of a page opens what it counts, or is listed here with the reason."""

import ast
from pathlib import Path

VIEWS = Path(__file__).parents[2] / "dashboard" / "views"
# charts by their key
OPENS_NOTHING = {
    "calibration": "a dot is a band of chances over all parts",
    "matrix": "the table of pairs above it opens each cell",
    "drift": "a month's median; the bars above open the readings",
    "histograms": "parts on the wrong side of the line are listed below",
    "curve (limit review)": "every possible limit, not jobs",
    "coverage": "sizes of a stock, not jobs",
    "line": "the visits and readings of one open job",
    "posterior": "chances computed from what was entered",
}
# tables by file: amounts, settings and counts of rows, not of jobs
TABLES = {
    "records.py": "counts of rows of files",
    "sections/callback_link.py": "counts of rows by way of linking",
    "sections/one_price.py": "the sum of one price",
    "sections/limits.py": "limits of the register",
    "sections/outcomes_by_kind.py": "shares of an appliance over all records, no filter applies",
    "sections/compare_periods.py": "two periods; the figures open on their own pages",
    "one_repair.py": "the sum of one rate, and ways to plan",
    "flat_rate.py": "ways to plan, over all jobs",
    "price_list.py": "what a price rests on; a row above opens its jobs",
    "callbacks.py": "jobs still tracked; the curve opens them",
    "settings.py": "settings",
    "reading_distribution.py": "the shown test point, whose readings are listed above",
    "job.py": "the parts of one open job",
    "no_fault_found.py": "tests, not jobs; the jobs are listed above",
}


def calls(name: str) -> list[tuple[str, ast.Call]]:
    """Return the calls of widgets.NAME with the file they are in."""
    found = []
    for path in sorted(VIEWS.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == name
                and isinstance(node.func.value, ast.Name)
                and node.func.value.id == "widgets"
            ):
                found.append((path.relative_to(VIEWS).as_posix(), node))
    return found


def test_a_chart_without_a_click_is_listed_with_its_reason():
    silent = set()
    for file, call in calls("chart"):
        given = {word.arg: word.value for word in call.keywords}
        if "on_select" not in given:
            key = ast.unparse(given["key"]).strip("'\"")
            silent.add(
                "curve (limit review)" if file == "limit_review.py" and key == "curve" else key
            )
    assert silent == set(OPENS_NOTHING)


def test_a_table_without_a_click_is_listed_with_its_reason():
    assert {file for file, _ in calls("table")} == set(TABLES)
