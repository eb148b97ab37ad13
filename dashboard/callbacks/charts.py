"""What callbacks cost and where they come from: curve of a part number, Pareto of reasons."""

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboard.callbacks.curves import HORIZON_DAYS
from dashboard.charts.theme import BAD, BAND, DOUBT, QUIET, SHOP, laid_out

# a line can be clicked only where it has dots
UNSEEN_DOTS: dict[str, Any] = {
    "marker": {"size": 10, "opacity": 0},
    "selected": {"marker": {"opacity": 0}},
    "unselected": {"marker": {"opacity": 0}},
}


def part_curve(curve: pd.DataFrame, part_no: str) -> go.Figure:
    """Draw the share without a callback of one part number and of its alternatives.

    `curve`: group, day, free; the group named like the part number stands out. The custom data of
    its dots are the part number.
    """
    figure = go.Figure()
    for group, rows in curve.groupby("group", sort=True):
        figure.add_trace(
            go.Scatter(
                x=[0, *rows["day"]],
                y=[1, *rows["free"]],
                mode="lines+markers" if group == part_no else "lines",
                name=str(group),
                customdata=[part_no] * (len(rows) + 1) if group == part_no else None,
                **UNSEEN_DOTS,
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
                mode="lines+markers",
                name=str(group),
                line={"shape": "hv", "color": colour, "width": 2},
                **UNSEEN_DOTS,
                customdata=_jobs_back(rows),
                hovertemplate="day %{x}: %{y:.1%} without a callback, %{customdata[2]:,} jobs back"
                "<extra></extra>",
            )
        )
    figure.update_xaxes(title="days since the job closed", range=[0, HORIZON_DAYS])
    figure.update_yaxes(title="jobs without a callback, %", tickformat=".0%")
    return laid_out(figure, showlegend=table["group"].nunique() > 1)


def _jobs_back(rows: pd.DataFrame) -> list[tuple[int, str, int]]:
    """Return day, id of the group and jobs back by that day, for each point of a curve."""
    ids = rows["id"] if "id" in rows else rows["group"]
    group = str(ids.iloc[0])
    back = [0, *rows["callbacks"].cumsum()]
    return [(int(d), group, int(n)) for d, n in zip([0, *rows["day"]], back, strict=True)]


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
