"""DataFrame → plotly figure: no database, no Streamlit.

Colours have one meaning each: SHOP for the shop's own numbers, BAD for what failed, DOUBT for what
is unclear, QUIET for what is out of the count. They differ in lightness too, so that they hold on
paper and for colour-blind readers.
"""

from collections.abc import Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.marks import Mark, place_of

SHOP, BAD, DOUBT, QUIET, BAND = "#0072B2", "#D55E00", "#E69F00", "#8A8F8D", "rgba(0,114,178,0.18)"
GOOD_BAND = "rgba(0,158,115,0.16)"
HEIGHT, BAR_GAP, LEGEND_ROW = 340, 0.05, 20
MONTHS: dict[str, Any] = {  # an axis of months: a phone can write nine of them side by side
    "type": "category", "title": "month closed", "tickangle": 0, "nticks": 9,
}  # fmt: skip


def laid_out(figure: go.Figure, height: int = HEIGHT, **options: object) -> go.Figure:
    """Give a figure the frame of all charts: room for the toolbar above, the legend below.

    `height` is the drawing's with its axes; the legend comes on top of it. `options` go last.
    """
    rows = _legend_rows(figure)
    figure.update_layout(
        height=height + LEGEND_ROW * rows,
        margin={"l": 8, "r": 8, "t": 34, "b": 8},
        legend={
            "orientation": "h",
            "x": 0,
            "y": 0,
            "yref": "container",
            "yanchor": "bottom",
            "title": {"text": ""},
        },
        hovermode="closest",
    )
    figure.update_layout(**options)
    figure.update_xaxes(automargin=True)
    figure.update_yaxes(automargin=True)
    return figure


def add_marks(figure: go.Figure, months: Sequence[str], marks: Sequence[Mark]) -> None:
    """Draw a dotted line for each mark; `months` are the categories of the axis, in order."""
    for day, what in marks:
        place = place_of(day, months)
        if place is None:
            continue
        figure.add_vline(
            x=place,
            line={"dash": "dot", "color": QUIET, "width": 2},
            annotation={
                "text": f"{day:%b} {day.day}",
                "hovertext": what,
                "font": {"size": 11},
                "textangle": 0,
            },
            annotation_position="top",
        )


def _legend_rows(figure: go.Figure) -> int:
    """Return the rows of the legend on a phone, where each entry has one."""
    if figure.layout.showlegend is False:
        return 0
    named = [trace for trace in figure.data if trace.showlegend is not False and trace.name]
    return len(named) if len(named) > 1 else 0


def whiskers(
    table: pd.DataFrame, value: str = "rate", low: str = "low", high: str = "high"
) -> dict[str, Any]:
    """Return the error bars from `low` to `high` around `value`."""
    return {
        "type": "data",
        "array": table[high] - table[value],
        "arrayminus": table[value] - table[low],
        "color": QUIET,
        "thickness": 1.2,
        "width": 3,
    }


def rate_by_group(table: pd.DataFrame, name: str, shop_rate: float | None) -> go.Figure:
    """Draw each group's rate as a dot with its 95% interval, groups in alphabetical order.

    Groups with `is_few` are faded. The dashed line is the rate of all of them together. The custom
    data of a dot begin with its group.
    """
    ordered = table.iloc[::-1]
    figure = go.Figure()
    for is_few, label in ((False, name), (True, "too few jobs")):
        part = ordered[ordered["is_few"] == is_few]
        if part.empty:
            continue
        figure.add_trace(
            go.Scatter(
                x=part["rate"],
                y=part["label"],
                mode="markers",
                showlegend=bool(table["is_few"].any()),
                name=label,
                marker={"color": QUIET if is_few else SHOP, "size": 9},
                opacity=0.5 if is_few else 1,
                error_x=whiskers(part),
                customdata=part[["group", "words"]],
                hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
            )
        )
    if shop_rate is not None:
        figure.add_vline(x=shop_rate, line={"dash": "dash", "color": QUIET})
    figure.update_xaxes(tickformat=".0%", title=name)
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return laid_out(figure, height=max(180, 90 + 26 * len(table)))


def share_bars(table: pd.DataFrame) -> go.Figure:
    """Draw shares as bars with their 95% intervals, largest on top.

    Columns id, label, share, low, high, words, colour; the custom data of a bar begin with its id.
    """
    ordered = table.iloc[::-1]
    figure = go.Figure(
        go.Bar(
            x=ordered["share"],
            y=ordered["label"],
            orientation="h",
            marker={"color": ordered["colour"]},
            error_x={
                "type": "data",
                "array": ordered["high"] - ordered["share"],
                "arrayminus": ordered["share"] - ordered["low"],
                "color": QUIET,
                "thickness": 1.2,
            },
            customdata=ordered[["id", "words"]],
            hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
        )
    )
    figure.update_xaxes(tickformat=".0%", title="share of jobs", rangemode="tozero")
    return laid_out(figure, height=max(200, 90 + 26 * len(table)), bargap=BAR_GAP)
