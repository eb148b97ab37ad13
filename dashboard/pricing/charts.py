"""DataFrame → figures of prices and of a repair's minutes: no database, no Streamlit."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, BAR_GAP, QUIET, SHOP, laid_out


def today_and_proposed(table: pd.DataFrame) -> go.Figure:
    """Draw each repair's median charge today, cost to serve and proposed rate on one line.

    Columns label, median_charged, cost_to_serve, proposed_rate; the first row on top.
    """
    ordered = table.iloc[::-1].copy()
    # repair and appliance under each other: on a phone one line would leave no room for the chart
    ordered["label"] = ordered["label"].str.rsplit(", ", n=1).str.join("\n")
    figure = go.Figure()
    for row in ordered.itertuples():
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
        figure.add_trace(
            go.Scatter(
                x=ordered[column],
                y=ordered["label"],
                mode="markers",
                name=name,
                marker={"color": colour, "size": 10, "symbol": symbol, "line": {"width": 2}},
                hovertemplate="%{y}: " + name + " %{x:,.0f}<extra></extra>",
            )
        )
    figure.update_xaxes(title="money for one job", rangemode="tozero")
    return laid_out(figure, height=max(240, 110 + 38 * len(table)))


def minutes(values: np.ndarray, plans: Mapping[str, float]) -> go.Figure:
    """Draw how long a repair's jobs took, with the minutes of each way to plan as a line."""
    figure = go.Figure(
        go.Histogram(
            x=values,
            nbinsx=min(40, max(8, len(values) // 4)),
            marker={"color": SHOP},
            hovertemplate="%{x} minutes: %{y} jobs<extra></extra>",
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
                name=f"{name}: {value:.0f} min",
                line={"color": BAD, "dash": dash, "width": 2},
                hoverinfo="name",
            )
        )
    figure.update_layout(yaxis2={"overlaying": "y", "range": [0, 1], "visible": False})
    figure.update_xaxes(title="minutes on the job, second trips in", rangemode="tozero")
    figure.update_yaxes(title="jobs", selector={"anchor": "x"})
    return laid_out(figure, bargap=BAR_GAP)
