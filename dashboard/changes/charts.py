"""A measured figure by month, with the change as a mark: DataFrame → figure."""

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from dashboard.changes.compute import Group
from dashboard.changes.figures import Figure
from dashboard.charts.marks import Mark
from dashboard.charts.theme import MONTHS, QUIET, SHOP, add_marks, laid_out
from dashboard.rows import Row, each_row
from dashboard.text.format import month, month_tick

SIDES = ((True, "jobs that the change touches", SHOP), (False, "the other jobs", QUIET))


def by_month(cells: pd.DataFrame, measured: Figure, marks: Sequence[Mark]) -> go.Figure:
    """Draw the share or mean of each month, touched jobs and others.

    `cells`: is_touched, month, jobs, amount, squares. The custom data of a dot begin with the
    month.
    """
    months = sorted(cells.loc[cells["jobs"] > 0, "month"].unique())
    figure = go.Figure()
    for is_touched, label, color in SIDES:
        own = cells[cells["is_touched"].astype(bool) == is_touched]
        sums = own.groupby("month", as_index=False)[["jobs", "amount", "squares"]].sum()
        sums = sums.query("jobs > 0")
        if sums.empty:
            continue
        figure.add_trace(
            go.Scatter(
                x=sums["month"].map(month_tick),
                y=sums["amount"] / sums["jobs"],
                mode="lines+markers",
                name=label,
                line={"color": color, "width": 1.5},
                marker={"size": 8, "symbol": "circle" if is_touched else "diamond-open"},
                customdata=[
                    (each.month, measured.level(_group(each)), str(is_touched), month(each.month))
                    for each in each_row(sums)
                ],
                hovertemplate="%{customdata[3]}: %{customdata[1]}<extra></extra>",
            )
        )
    add_marks(figure, months, marks)
    ticks = [month_tick(each) for each in months]
    figure.update_xaxes(
        **MONTHS,
        categoryorder="array",
        categoryarray=ticks,
    )
    figure.update_yaxes(
        title=f"{measured.name.lower()}, {measured.unit}",
        tickformat=".0%" if measured.is_share else ",.0f",
        rangemode="tozero",
    )
    return laid_out(figure)


def _group(row: Row) -> Group:
    return Group(int(row.jobs), float(row.amount), float(row.squares))
