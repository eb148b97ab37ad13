"""The split of a month's departure as a plotly figure."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, BAND, QUIET, SHOP, laid_out
from dashboard.rows import each_row
from dashboard.text import format as words

MOST_ROWS = 12


def split(table: pd.DataFrame, title: str) -> go.Figure:
    """Draw the jobs not fixed first time by row, each before its normal range.

    `table`: label, group, not_fixed, expected, low, high, excess, verdict, largest departure first.
    The first value of a point's customdata is its group.
    """
    rows = table[table["low"].notna()].head(MOST_ROWS).iloc[::-1]
    figure = go.Figure(
        go.Bar(
            x=rows["high"] - rows["low"],
            base=rows["low"],
            y=rows["label"],
            orientation="h",
            width=0.7,
            marker={"color": BAND},
            name="normal range",
            hoverinfo="skip",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=rows["expected"],
            y=rows["label"],
            mode="markers",
            name="normal",
            marker={"symbol": "line-ns-open", "size": 18, "color": QUIET, "line": {"width": 2}},
            hoverinfo="skip",
        )
    )
    is_outside = rows["verdict"] == "different"
    for chosen, name, color, symbol in (
        (~is_outside, "within normal range", SHOP, "circle"),
        (is_outside & (rows["excess"] > 0), "more than normal", BAD, "square"),
        (is_outside & (rows["excess"] <= 0), "fewer than normal", SHOP, "diamond-open"),
    ):
        if chosen.any():
            figure.add_trace(_counts(rows[chosen], name, color, symbol))
    figure.update_xaxes(title="repairs not fixed first time", rangemode="tozero")
    figure.update_yaxes(categoryorder="array", categoryarray=rows["label"].tolist())
    return laid_out(
        figure,
        title={"text": title, "font": {"size": 15}},
        height=150 + 36 * len(rows),
        margin={"l": 8, "r": 8, "t": 44, "b": 8},
    )


def _counts(part: pd.DataFrame, name: str, color: str, symbol: str) -> go.Scatter:
    shown = [
        f"{row.not_fixed:,.0f}, {words.number(row.expected, 1)} is normal "
        f"({row.low:,.0f}–{row.high:,.0f})"
        for row in each_row(part)
    ]
    return go.Scatter(
        x=part["not_fixed"],
        y=part["label"],
        mode="markers+text",
        text=[f"{count:,.0f}" for count in part["not_fixed"]],
        textposition="middle right",
        name=name,
        marker={"color": color, "symbol": symbol, "size": 12},
        customdata=list(zip(part["group"], shown, strict=True)),
        hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
    )
