"""What callbacks cost and where they come from: curve of a part number, Pareto of reasons."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, QUIET, SHOP
from dashboard.fairness.charts import laid_out


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
    figure.update_xaxes(title="days since the job was closed", range=[0, 365])
    figure.update_yaxes(title="jobs without a callback", tickformat=".0%", range=[0, 1.03])
    return laid_out(figure)


def pareto(reasons: pd.DataFrame) -> go.Figure:
    """Draw shares as bars, largest first, and the share that they make up together as a line.

    `reasons`: label, share, visits; in falling order of share.
    """
    figure = go.Figure(
        go.Bar(
            x=reasons["label"],
            y=reasons["share"],
            name="share of further visits",
            marker={"color": SHOP},
            customdata=reasons[["visits"]],
            hovertemplate="%{x}: %{customdata[0]} visits, %{y:.0%}<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=reasons["label"],
            y=reasons["share"].cumsum(),
            mode="lines+markers",
            name="together with those before",
            line={"color": QUIET},
            hovertemplate="up to %{x}: %{y:.0%}<extra></extra>",
        )
    )
    figure.update_yaxes(tickformat=".0%", range=[0, 1.05], title="share")
    figure.update_xaxes(type="category")
    return laid_out(figure)
