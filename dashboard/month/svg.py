"""Small charts as SVG text, for the printed month: no script, readable in black and white."""

from collections.abc import Callable, Sequence
from html import escape

import pandas as pd

from dashboard.charts.marks import Mark, place_of
from dashboard.rows import Row, each_row

WIDTH = 640
INK, PALE = "#14201F", "#D9E0DD"


def _svg(height: int, body: str, title: str) -> str:
    return (
        f'<svg viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(title)}" '
        f'xmlns="http://www.w3.org/2000/svg"><title>{escape(title)}</title>{body}</svg>'
    )


def _text(x: float, y: float, text: str, anchor: str = "start", size: int = 12) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}" '
        f'fill="{INK}">{escape(text)}</text>'
    )


def spark(values: list[float], low: float | None, high: float | None) -> str:
    """Draw a small line of values with the normal range behind; the last value is marked.

    Fewer than two values give an empty text. Decoration: the numbers stand next to it.
    """
    if len(values) < 2:
        return ""
    known = [value for value in (*values, low, high) if value is not None]
    least, span = min(known), (max(known) - min(known)) or 1.0
    step = 190 / (len(values) - 1)

    def y(value: float) -> float:
        return 34 - 28 * (value - least) / span

    band = ""
    if low is not None and high is not None:
        band = (
            f'<rect x="0" y="{y(high):.1f}" width="200" height="{y(low) - y(high):.1f}" '
            f'fill="{PALE}"/>'
        )
    points = " ".join(f"{5 + step * i:.1f},{y(value):.1f}" for i, value in enumerate(values))
    return (
        '<svg viewBox="0 0 200 40" preserveAspectRatio="none" aria-hidden="true" '
        f'xmlns="http://www.w3.org/2000/svg">{band}'
        f'<polyline points="{points}" fill="none" stroke="{INK}" stroke-width="1.5"/>'
        f'<circle cx="195" cy="{y(values[-1]):.1f}" r="4" fill="{INK}"/></svg>'
    )


def month_strip(table: pd.DataFrame, month: str, title: str, marks: Sequence[Mark] = ()) -> str:
    """Draw the first-time fix of each month with its 3-sigma limits; the month itself is filled.

    A noted change is a dotted line on its day.
    """
    known = table[table["mature"] > 0].tail(18).reset_index(drop=True)
    if known.empty:
        return ""
    top, bottom, height = 14, 150, 186
    step = (WIDTH - 60) / max(len(known), 1)

    def x(i: float) -> float:
        return 46 + step * (i + 0.5)

    def y(rate: float) -> float:
        return bottom - (bottom - top) * rate

    body = [_grid(y)]
    for i, row in enumerate(each_row(known)):
        if pd.notna(row.lower_3s):
            low, high = y(row.lower_3s), y(row.upper_3s)
            body.append(
                f'<rect x="{x(i) - step / 2:.1f}" y="{high:.1f}" width="{step:.1f}" '
                f'height="{low - high:.1f}" fill="{PALE}"/>'
            )
    places = [(place_of(day, known["month"].tolist()), what) for day, what in marks]
    body += [_change(x(place), top, bottom, what) for place, what in places if place is not None]
    centres = [(i, y(c)) for i, c in enumerate(known["centre"]) if pd.notna(c)]
    for i, centre in centres:
        body.append(
            f'<line x1="{x(i) - step / 2:.1f}" x2="{x(i) + step / 2:.1f}" y1="{centre:.1f}" '
            f'y2="{centre:.1f}" stroke="{INK}" stroke-dasharray="5 4"/>'
        )
    points = " ".join(f"{x(i):.1f},{y(r):.1f}" for i, r in enumerate(known["rate"]))
    body.append(f'<polyline points="{points}" fill="none" stroke="{INK}" stroke-width="1"/>')
    for i, row in enumerate(each_row(known)):
        body.append(_month_mark(x(i), y(row.rate), row, month))
        body.append(_text(x(i), bottom + 16, row.month[5:], "middle", 10))
        if i == 0 or row.month.endswith("-01"):
            body.append(_text(x(i), bottom + 30, row.month[:4], "middle", 10))
    return _svg(height, "".join(body), title)


def _change(x: float, top: int, bottom: int, what: str) -> str:
    return (
        f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{top}" y2="{bottom}" stroke="{INK}" '
        f'stroke-width="2" stroke-dasharray="1 3"><title>{escape(what)}</title></line>'
    )


def _grid(y: Callable[[float], float]) -> str:
    return "".join(
        _text(40, y(rate) + 4, f"{rate:.0%}", "end", 10)
        + f'<line x1="46" x2="{WIDTH - 14}" y1="{y(rate):.1f}" y2="{y(rate):.1f}" stroke="{PALE}"/>'
        for rate in (0, 0.25, 0.5, 0.75, 1)
    )


def _month_mark(x: float, y: float, row: Row, month: str) -> str:
    is_now = row.month == month
    label = f"{row.month}: {row.rate:.0%} of {row.mature:.0f}"
    mark = (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{6 if is_now else 4}" stroke="{INK}" '
        f'fill="{INK if is_now else "#FFFFFF"}"><title>{escape(label)}</title></circle>'
    )
    ring = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="10" fill="none" stroke="{INK}"/>'
    return mark + (ring if row.signals else "")
