"""What callbacks cost and where they come from: curve of a part number, Pareto of reasons."""

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboard.callbacks.curves import HORIZON_DAYS
from dashboard.charts.theme import BAD, BAND, DOUBT, QUIET, SHOP, laid_out


def part_curve(curve: pd.DataFrame, part_no: str) -> go.Figure:
    """Draw the share without a callback of one part number and of its alternatives.

    `curve`: group, day, free; the group named like the part number stands out.
    """
    figure = go.Figure()
    for group, rows in curve.groupby("group", sort=True):
        figure.add_trace(
            go.Scatter(
                x=[0, *rows["day"]],
                y=[1, *rows["free"]],
                mode="lines",
                name=str(group),
                line={
                    "shape": "hv",
                    "color": BAD if group == part_no else SHOP,
                    "dash": "solid" if group == part_no else "dash",
                    "width": 2,
                },
                hovertemplate="day %{x}: %{y:.0%} without a callback<extra></extra>",
            )
        )
    figure.update_xaxes(title="days since the job closed", range=[0, HORIZON_DAYS])
    figure.update_yaxes(title="jobs without a callback, %", tickformat=".0%", range=[0, 1.03])
    return laid_out(figure)


def pareto(reasons: pd.DataFrame) -> go.Figure:
    """Draw shares as bars, largest first, and the share that they make up together as a line.

    `reasons`: reason, label, share, visits; in falling order of share.
    """
    figure = go.Figure(
        go.Bar(
            x=reasons["label"],
            y=reasons["share"],
            name="share of return trips",
            marker={"color": SHOP},
            customdata=reasons[["reason", "visits"]],
            hovertemplate="%{x}: %{customdata[1]:,} trips, %{y:.0%}<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=reasons["label"],
            y=reasons["share"].cumsum(),
            mode="lines+markers",
            name="together with those before",
            line={"color": QUIET},
            customdata=reasons[["reason"]],
            hovertemplate="up to %{x}: %{y:.0%}<extra></extra>",
        )
    )
    figure.update_yaxes(tickformat=".0%", range=[0, 1.05], title="share of return trips")
    figure.update_xaxes(type="category", title="reason, most frequent first")
    return laid_out(figure)


def callback_curve(table: pd.DataFrame) -> go.Figure:
    """Draw the share of jobs without a callback, a step line with its 95% band per group."""
    figure = go.Figure()
    colours = [SHOP, BAD, DOUBT, "#009E73", "#CC79A7", QUIET]
    for i, (group, rows) in enumerate(table.groupby("group", sort=True)):
        colour = colours[i % len(colours)]
        days = [0, *rows["day"]]
        if table["group"].nunique() == 1:
            figure.add_trace(_edge(days, [1, *rows["free_high"].fillna(1)]))
            figure.add_trace(_edge(days, [1, *rows["free_low"].fillna(rows["free"])], BAND))
        figure.add_trace(
            go.Scatter(
                x=days,
                y=[1, *rows["free"]],
                mode="lines",
                name=str(group),
                line={"shape": "hv", "color": colour, "width": 2},
                hovertemplate="day %{x}: %{y:.1%} without a callback<extra></extra>",
            )
        )
    figure.update_xaxes(title="days since the job closed", range=[0, HORIZON_DAYS])
    figure.update_yaxes(title="jobs without a callback, %", tickformat=".0%")
    return laid_out(figure, showlegend=table["group"].nunique() > 1)


def _edge(days: list[Any], values: list[Any], fill: str | None = None) -> go.Scatter:
    return go.Scatter(
        x=days,
        y=values,
        mode="lines",
        line={"shape": "hv", "width": 0, "color": SHOP},
        fill="tonexty" if fill else None,
        fillcolor=fill,
        showlegend=False,
        hoverinfo="skip",
    )
