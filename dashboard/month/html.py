"""The month on paper: HTML that stands alone, with print styles; PDF from the same."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd
from markupsafe import Markup

from dashboard.month import svg
from dashboard.month.figures import Figure
from dashboard.month.review import MonthReview
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.templates import templates

MOST_JOBS = 40  # numbers after an action: two pages must hold them; the page lists all
TEMPLATES = templates(Path(__file__).parent)
TEMPLATES.filters |= {"number": words.number, "day": words.day, "counted": words.counted}


@dataclass(frozen=True)
class Paper:
    """What stands on the sheet besides the month: shop, period, currency, window, cautions."""

    shop: str
    first: date
    last: date
    as_of: date
    currency: str
    window_days: int
    cautions: tuple[str, ...]


def report_html(review: MonthReview, paper: Paper) -> str:
    """Return the month as one HTML text: nothing is loaded from outside, nothing runs."""
    return TEMPLATES.get_template("month.html.jinja").render(
        review=review,
        paper=paper,
        title=words.month(review.month),
        reasons=review.views["reason"].to_dict("records"),
        total=_total(review.views["reason"]),
        most_jobs=MOST_JOBS,
        spark=_spark,
        strip=Markup(
            svg.month_strip(review.signals, review.month, _strip_title(review), review.marks)
        ),
    )


def _total(reasons: pd.DataFrame) -> dict[str, float] | None:
    """Return the sums of the split; None without a job or a month to compare with."""
    if reasons.empty or reasons["month_expected"].isna().any():
        return None
    row: Row = reasons.iloc[0]
    excess = row["month_not_fixed"] - row["month_expected"]
    return {"jobs": row["month_not_fixed"], "expected": row["month_expected"], "excess": excess}


def _spark(figure: Figure) -> Markup:
    return Markup(svg.spark([value for _, value in figure.history], figure.low, figure.high))


def _strip_title(review: MonthReview) -> str:
    return f"First-time fix by month; the filled mark is {words.month(review.month)}"
