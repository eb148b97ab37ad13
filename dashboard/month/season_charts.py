"""Calls by calendar month → figure: no database, no Streamlit."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAR_GAP, QUIET, SHOP, laid_out


def by_month(rows: pd.DataFrame, names: list[str]) -> go.Figure:
    """Draw twelve months: the index with its 95 % range, or the mean calls where none can be said.

    Columns month, calls, times, index, low, high; `names` are those of the months. The custom
    data of a bar begin with its month.
    """
    is_known = rows["index"].notna().all()
    values = rows["index"] if is_known else rows["calls"] / rows["times"].where(rows["times"] > 0)
    bars = go.Bar(
        x=names,
        y=values,
        marker={"color": SHOP if is_known else QUIET},
        customdata=rows[["month", "calls", "times"]].astype(str),
        hovertemplate="%{x}: %{customdata[1]} calls in %{customdata[2]} years<extra></extra>",
        showlegend=False,
    )
    if is_known:
        bars.error_y = {
            "array": rows["high"] - values,
            "arrayminus": values - rows["low"],
            "color": "#444",
        }
    figure = go.Figure(bars)
    if is_known:
        figure.add_hline(y=1, line={"color": QUIET, "dash": "dash", "width": 1})
    figure.update_yaxes(
        title="times an average month" if is_known else "calls a month, average of the years",
        rangemode="tozero",
    )
    return laid_out(figure, bargap=BAR_GAP * 4)
