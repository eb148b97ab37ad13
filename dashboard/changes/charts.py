"""A measured figure by month, with the change as a mark: DataFrame → figure."""

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.marks import Mark
from dashboard.charts.theme import QUIET, SHOP, add_marks, laid_out
from dashboard.text.format import month, month_tick

SIDES = ((True, "jobs that the change touches", SHOP), (False, "the other jobs", QUIET))

MOST_TICKS = 9  # as many months as a phone can write side by side


def by_month(cells: pd.DataFrame, name: str, marks: Sequence[Mark]) -> go.Figure:
    """Draw the share of each month, touched jobs and others.

    `cells`: is_touched, month, jobs, hits. The custom data of a dot begin with its month.
    """
    months = sorted(cells.loc[cells["jobs"] > 0, "month"].unique())
    figure = go.Figure()
    for is_touched, label, color in SIDES:
        own = cells[cells["is_touched"].astype(bool) == is_touched]
        sums = own.groupby("month", as_index=False)[["jobs", "hits"]].sum().query("jobs > 0")
        if sums.empty:
            continue
        figure.add_trace(
            go.Scatter(
                x=sums["month"].map(month_tick),
                y=sums["hits"] / sums["jobs"],
                mode="lines+markers",
                name=label,
                line={"color": color, "width": 1.5},
                marker={"size": 8, "symbol": "circle" if is_touched else "diamond-open"},
                customdata=sums.assign(name=sums["month"].map(month))[["month", "name", "jobs"]],
                hovertemplate="%{customdata[1]}: %{y:.0%} of %{customdata[2]:,} jobs"
                "<extra></extra>",
            )
        )
    add_marks(figure, months, marks)
    ticks = [month_tick(each) for each in months]
    figure.update_xaxes(
        type="category",
        title="month closed",
        categoryorder="array",
        categoryarray=ticks,
        tickangle=0,
        nticks=MOST_TICKS,
    )
    figure.update_yaxes(title=f"{name.lower()}, % of jobs", tickformat=".0%", rangemode="tozero")
    return laid_out(figure)
