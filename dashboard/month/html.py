"""The owner's month as one file: HTML that stands alone, with print styles; PDF from the same."""

from collections.abc import Sequence
from html import escape

from dashboard.month import svg
from dashboard.month.actions import REASONS, Action, Cost
from dashboard.month.review import Change, MonthReview
from dashboard.text import format as words

STYLE = """
@page { size: A4; margin: 16mm 14mm; }
body { font: 11pt/1.45 "Source Sans 3", "Segoe UI", "DejaVu Sans", sans-serif; color: #14201F;
  background: #FFFFFF; max-width: 180mm; margin: 8mm auto; padding: 0 4mm; }
h1 { font-size: 20pt; margin: 0 0 1mm; } h2 { font-size: 13pt; margin: 7mm 0 2mm; }
p { margin: 0 0 2mm; } .quiet { color: #46524F; font-size: 9.5pt; }
table { border-collapse: collapse; width: 100%; font-size: 10pt; }
th, td { text-align: left; padding: 1.2mm 2mm; border-bottom: 0.3mm solid #C9D1CC;
  vertical-align: top; }
th { font-weight: 600; }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
thead { display: table-header-group; } tr, svg, li { break-inside: avoid; }
h2 { break-after: avoid; } svg { width: 100%; height: auto; }
ol { padding-left: 5mm; } li { margin-bottom: 2mm; }
.cautions { border-top: 0.6mm solid #14201F; margin-top: 8mm; padding-top: 3mm; font-size: 9.5pt; }
"""


def report_html(
    review: MonthReview, shop: str, as_of: str, window_days: int, cautions: Sequence[str]
) -> str:
    """Return the month as one HTML text: nothing is loaded from outside, nothing runs."""
    parts = [
        f"<h1>The month {escape(review.month)}</h1>",
        f'<p class="quiet">{escape(shop)} Records up to {escape(as_of)}; a return counts within '
        f"{window_days} days.</p>",
        f"<p><strong>{escape(review.headline)}</strong></p>",
        svg.month_strip(
            review.signals,
            review.month,
            f"First-time fix by month; the filled mark is {review.month}",
        ),
        '<p class="quiet">The band is what chance alone allows each month (three sigma, wider for '
        "fewer jobs); a ring marks a signal.</p>",
        "<h2>What changed</h2>",
        _changes(review.changes),
        f'<p class="quiet">{escape(review.left_out)}</p>',
        "<h2>What to do next</h2>",
        _actions(review.actions),
        "<h2>What wrong diagnoses cost</h2>",
        _costs(review.patterns),
        "<h2>Why we drove twice</h2>",
        _repeats(review),
        "<h2>Priced under cost</h2>",
        _under_cost(review),
        '<div class="cautions">'
        + "".join(f"<p>{escape(text)}</p>" for text in cautions)
        + "</div>",
    ]
    body = "\n".join(parts)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>The month {escape(review.month)}</title><style>{STYLE}</style></head>\n"
        f"<body><main>\n{body}\n</main></body></html>\n"
    )


def _changes(changes: Sequence[Change]) -> str:
    if not changes:
        return "<p>No job was closed in this month.</p>"
    rows = "".join(
        f"<tr><td>{escape(c.name)}</td><td>{escape(c.now)}</td><td>{escape(c.before)}</td>"
        f"<td>{escape(c.verdict)}</td></tr>"
        for c in changes
    )
    return (
        "<table><thead><tr><th>Figure</th><th>This month</th><th>12 months before</th>"
        f"<th>More than chance?</th></tr></thead><tbody>{rows}</tbody></table>"
    )


def _actions(actions: Sequence[Action]) -> str:
    if not actions:
        return "<p>Nothing in these records asks for an action.</p>"
    return (
        "<ol>"
        + "".join(
            f"<li><strong>{escape(a.title)}.</strong> {escape(a.reason)}{_jobs(a.jobs)}</li>"
            for a in actions
        )
        + "</ol>"
    )


def _jobs(jobs: Sequence[str]) -> str:
    shown = ", ".join(escape(job) for job in jobs)
    return f' <span class="quiet">Jobs {shown}.</span>' if jobs else ""


def _costs(costs: Sequence[Cost]) -> str:
    if not costs:
        return "<p>None that these records show.</p>"
    return (
        "<ul>"
        + "".join(
            f"<li><strong>{escape(c.name)}</strong>: {escape(c.told)}.{_jobs(c.jobs)}</li>"
            for c in costs
        )
        + "</ul>"
        + '<p class="quiet">A pattern is a reason to look at the job, no verdict on a person.</p>'
    )


def _repeats(review: MonthReview) -> str:
    if review.repeats.empty:
        return "<p>No job of this month took a further visit, or visits are not recorded.</p>"
    ordered = review.repeats.sort_values("visits", ascending=False)
    rows = [
        (
            row.reason.replace("_", " "),
            float(row.visits),
            f"{row.visits:,} visits, {words.percent(row.share)}",
        )
        for row in ordered.itertuples()
    ]
    first = ordered.iloc[0]
    return f"<p>Most often because {escape(REASONS[first.reason])}.</p>" + svg.bars(
        rows, "Further visits by reason"
    )


def _under_cost(review: MonthReview) -> str:
    if review.under_cost.empty:
        return "<p>None in the last twelve months, or prices are not recorded.</p>"
    rows = "".join(
        f'<tr><td>{escape(r.label)}</td><td class="number">{r.jobs:,}</td>'
        f'<td class="number">{words.number(r.median_charged, 0)}</td>'
        f'<td class="number">{words.number(r.cost_to_serve, 0)}</td>'
        f'<td class="number">{words.number(r.proposed_rate, 0)}</td>'
        f'<td class="number">{words.number(-r.result_now, 0)}</td></tr>'
        for r in review.under_cost.itertuples()
    )
    heads = ("Jobs", "Median charge", "Cost to serve", "Proposed", "Lost in 12 months")
    return (
        "<table><thead><tr><th>Repair</th>"
        + "".join(f'<th class="number">{head}</th>' for head in heads)
        + f"</tr></thead><tbody>{rows}</tbody></table>"
    )
