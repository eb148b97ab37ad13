"""DataFrame → figures of prices and of a repair's minutes: no database, no Streamlit."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, BAR_GAP, QUIET, SHOP, laid_out
from dashboard.rows import each_row
from dashboard.text import format as words

MOST_BARS = 40


def today_and_proposed(table: pd.DataFrame, currency: str | None) -> go.Figure:
    """Draw each repair's median charge today, cost to serve and proposed rate on one line.

    Columns key, label, median_charged, cost_to_serve, proposed_rate; the first row on top. The
    custom data of a dot begin with the repair's key.
    """
    ordered = table.iloc[::-1].copy()
    # repair and appliance under each other: on a phone one line would leave no room for the chart
    ordered["label"] = ordered["label"].str.rsplit(", ", n=1).str.join("\n")
    figure = go.Figure()
    for row in each_row(ordered):
        figure.add_trace(
            go.Scatter(
                x=[row.median_charged, row.proposed_rate],
                y=[row.label, row.label],
                mode="lines",
                line={"color": QUIET, "width": 1.5},
                showlegend=False,
                hoverinfo="skip",
            )
        )
    for column, name, colour, symbol in (
        ("median_charged", "charged today", BAD, "circle"),
        ("cost_to_serve", "cost", QUIET, "line-ns-open"),
        ("proposed_rate", "proposed rate", SHOP, "diamond"),
    ):
        shown = ordered[column].map(lambda value: words.money(value, currency))
        figure.add_trace(
            go.Scatter(
                x=ordered[column],
                y=ordered["label"],
                mode="markers",
                name=name,
                marker={"color": colour, "size": 10, "symbol": symbol, "line": {"width": 2}},
                customdata=ordered.assign(shown=shown)[["key", "shown"]],
                hovertemplate="%{y}: " + name + " %{customdata[1]}<extra></extra>",
            )
        )
    unit = f", {currency}" if currency else ""
    figure.update_xaxes(title=f"amount per job{unit}", rangemode="tozero", tickformat=",.0f")
    return laid_out(figure, height=max(240, 110 + 38 * len(table)))


def bins(values: np.ndarray) -> np.ndarray:
    """Return the edges of the bars of minutes: whole minutes, a few dozen bars at most."""
    step = max(5, 5 * round(np.ptp(values) / min(MOST_BARS, max(8, len(values) // 4)) / 5))
    start = step * np.floor(values.min() / step)
    return np.arange(start, values.max() + step + 1e-9, step)


def minutes(values: np.ndarray, plans: Mapping[str, float]) -> go.Figure:
    """Draw how long a repair's jobs took, with the minutes of each way to plan as a line.

    The custom data of a bar are its first minute, and the first one after it.
    """
    edges = bins(values)
    counts, _ = np.histogram(values, edges)
    figure = go.Figure(
        go.Bar(
            x=(edges[:-1] + edges[1:]) / 2,
            y=counts,
            width=np.diff(edges),
            marker={"color": SHOP, "line": {"width": 1, "color": "white"}},
            customdata=np.stack([edges[:-1], edges[1:]], axis=1),
            hovertemplate="%{customdata[0]:.0f} to %{customdata[1]:.0f} minutes: %{y:,} jobs"
            "<extra></extra>",
            showlegend=False,
        )
    )
    dashes = ("solid", "dash", "dot", "dashdot")
    for (name, value), dash in zip(sorted(plans.items(), key=lambda p: p[1]), dashes, strict=False):
        figure.add_trace(
            go.Scatter(
                x=[value, value],
                y=[0, 1],
                yaxis="y2",
                mode="lines",
                name=f"{name}: {words.minutes(value)}",
                line={"color": BAD, "dash": dash, "width": 2},
                hoverinfo="name",
            )
        )
    figure.update_layout(yaxis2={"overlaying": "y", "range": [0, 1], "visible": False})
    figure.update_xaxes(title="minutes on the job, including return trips", rangemode="tozero")
    figure.update_layout(yaxis_title="jobs")
    return laid_out(figure, bargap=BAR_GAP)


def per_hour(table: pd.DataFrame, currency: str | None) -> go.Figure:
    """Draw profit per hour of each group with its 95 % interval; the first row on top.

    Columns key, label, profit_per_hour, low, high, jobs. The custom data of a dot begin with key.
    """
    ordered = table.iloc[::-1].copy()
    ordered["label"] = ordered["label"].str.rsplit(", ", n=1).str.join("\n")
    ordered["shown"] = [
        f"{words.money(r.profit_per_hour, currency)}, {words.counted(r.jobs, 'job')}"
        for r in each_row(ordered)
    ]
    figure = go.Figure(
        go.Scatter(
            x=ordered["profit_per_hour"],
            y=ordered["label"],
            mode="markers",
            marker={"color": SHOP, "size": 10},
            error_x={
                "array": ordered["high"] - ordered["profit_per_hour"],
                "arrayminus": ordered["profit_per_hour"] - ordered["low"],
                "color": QUIET,
            },
            customdata=ordered[["key", "shown"]],
            hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
            showlegend=False,
        )
    )
    figure.add_vline(x=0, line={"color": BAD, "width": 1, "dash": "dot"})
    unit = f", {currency}" if currency else ""
    figure.update_xaxes(title=f"profit per hour{unit}", tickformat=",.0f")
    return laid_out(figure, height=max(240, 110 + 34 * len(table)))
