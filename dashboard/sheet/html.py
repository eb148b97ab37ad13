"""The complaint sheet on paper: one page of HTML that stands alone."""

from pathlib import Path

from dashboard.diagnosis import bench_card_html
from dashboard.sheet.figures import Sheet
from dashboard.text.templates import templates

TEMPLATES = templates(Path(__file__).parent, Path(bench_card_html.__file__).parent)


def html(sheet: Sheet) -> str:
    """Return the sheet as a page that stands alone and prints on one page, A4 or Letter."""
    return TEMPLATES.get_template("sheet.html.jinja").render(sheet=sheet)
