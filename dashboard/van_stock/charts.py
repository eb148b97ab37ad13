"""DataFrame → the figure of van stock: no database, no Streamlit."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, QUIET, SHOP, laid_out


def coverage(
    curve: pd.DataFrame, chosen: tuple[float, float], today: float, size: str
) -> go.Figure:
    """Draw the share of part jobs covered by what is on board, from an empty van to a full one.

    Curve: columns filled, share. `chosen`: filled and share of the proposed stock; `today`: the
    share that lost no trip.
    """
    figure = go.Figure(
        go.Scatter(
            x=curve["filled"],
            y=curve["share"],
            mode="lines",
            name="best part first",
            line={"color": SHOP, "width": 2},
            hovertemplate="%{x:,.0f}: %{y:.0%} of the jobs that need parts<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=[chosen[0]],
            y=[chosen[1]],
            mode="markers",
            name="proposed stock",
            marker={"color": BAD, "size": 12, "symbol": "diamond"},
            hovertemplate="%{x:,.0f}: %{y:.0%}<extra>proposed stock</extra>",
        )
    )
    figure.add_hline(
        y=today,
        line={"dash": "dash", "color": QUIET},
        annotation={"text": "today", "showarrow": False},
        annotation_position="bottom right",
    )
    figure.update_xaxes(title=size, tickformat=",.0f", rangemode="tozero")
    figure.update_yaxes(
        title="jobs covered, % of those that need parts", tickformat=".0%", range=[0, 1.02]
    )
    return laid_out(figure)
