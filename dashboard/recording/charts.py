"""The share of jobs on which a field is missing, by month: DataFrame → figure."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import MONTHS, SHOP, laid_out
from dashboard.text.format import month, month_tick


def by_month(months: pd.DataFrame) -> go.Figure:
    """Draw the share missing; rows of by_field of one field, `group` is the month."""
    figure = go.Figure(
        go.Scatter(
            x=months["group"].map(month_tick),
            y=months["rate"],
            mode="lines+markers",
            line={"color": SHOP, "width": 1.5},
            customdata=months.assign(name=months["group"].map(month))[["group", "name", "asked"]],
            hovertemplate="%{customdata[1]}: %{y:.0%} of %{customdata[2]:,} jobs<extra></extra>",
        )
    )
    figure.update_xaxes(**MONTHS)
    figure.update_yaxes(title="missing, % of jobs", tickformat=".0%", rangemode="tozero")
    return laid_out(figure, height=260)
