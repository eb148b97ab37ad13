"""The month for page and command alike: the review and its file, from a database folder."""

from functools import partial
from pathlib import Path

from dashboard.database import query as data
from dashboard.database.labels import read_labels
from dashboard.database.query import Filters, NoData
from dashboard.month.html import report_html
from dashboard.month.review import MonthReview, review
from dashboard.settings.file import read_settings
from dashboard.text.cautions import cautions

ON_THE_REPORT = ("records", "local_law", "live", "limits")


def months_of(folder: Path, filters: Filters | None = None) -> list[str]:
    """Return the months in which a job was closed, in order. Raises NoData without a database."""
    return data.measure(folder, "month_review", filters).query("closed > 0")["month"].tolist()


def newest_told(folder: Path, months: list[str], filters: Filters | None = None) -> str:
    """Return the newest of some months that tells enough of its repairs, else the newest.

    Raises NoData without a database.
    """
    fixes = data.measure(folder, "first_time_fix", filters, group_by="month")
    mature = fixes.set_index("group")["mature"]
    least = read_settings(folder)["min_jobs"]
    return next((m for m in reversed(months) if mature.get(m, 0) >= least), months[-1])


def month_review(folder: Path, month: str, filters: Filters | None = None) -> MonthReview:
    """Return the review of one month. Raises NoData without a database."""
    settings = read_settings(folder)
    labels = read_labels(folder)

    def rows(name: str, chosen: Filters, **parameters: object):
        given = {"window_days": settings["callback_window_days"]} | parameters
        return data.run(folder, f"pages/{name}", chosen, **given)

    return review(
        month, partial(data.measure, folder), rows, filters or Filters(), settings, labels
    )


def month_html(folder: Path, month: str, filters: Filters | None = None) -> str:
    """Return the printed month as HTML. Raises NoData without a database."""
    dataset = data.run(folder, "pages/dataset").iloc[0]
    if dataset.jobs == 0:
        raise NoData("the database holds no job: load some records first")
    settings = read_settings(folder)
    return report_html(
        month_review(folder, month, filters),
        "",
        f"{dataset.as_of:%Y-%m-%d}",
        settings["callback_window_days"],
        [cautions()[name][1] for name in ON_THE_REPORT],
    )
