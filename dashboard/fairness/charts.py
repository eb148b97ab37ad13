"""The funnel of groups and the chart of months: DataFrame → figure."""

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.marks import Mark
from dashboard.charts.theme import BAD, DOUBT, HEIGHT, MONTHS, QUIET, SHOP, add_marks, laid_out
from dashboard.fairness.sentences import VERDICTS
from dashboard.text.format import month, month_tick

MARKS = {"inside": (SHOP, "circle"), "look": (DOUBT, "diamond"), "different": (BAD, "square")}
LIMITS = (
    ("low_998", "high_998", "normal range, 99.8%", "dash"),
    ("low_95", "high_95", "normal range, 95%", "dot"),
)


def funnel(groups: pd.DataFrame, limits: pd.DataFrame, shop_rate: float) -> go.Figure:
    """Draw each group's judged rate over its jobs, between the limits of chance.

    `groups`: group, label, judged_jobs, judged_rate, funnel, words, is_few (faded). `limits`: a row
    per number of jobs. Empty tables give an empty chart.
    """
    figure = go.Figure()
    for low, high, name, dash in LIMITS:
        for column, is_named in ((low, True), (high, False)):
            figure.add_trace(
                go.Scatter(
                    x=limits["jobs"],
                    y=limits[column],
                    mode="lines",
                    line={"color": QUIET, "dash": dash, "width": 1.5},
                    name=name,
                    legendgroup=name,
                    showlegend=is_named,
                    hoverinfo="skip",
                )
            )
    figure.add_hline(y=shop_rate, line={"color": QUIET, "width": 1})
    for verdict, (colour, symbol) in MARKS.items():
        name = VERDICTS[verdict]
        _add_groups(figure, groups[groups["funnel"] == verdict], name, colour, symbol)
    figure.update_xaxes(title="jobs counted", rangemode="tozero")
    figure.update_yaxes(
        title="first-time fix, % of jobs", tickformat=".0%", range=_height(groups, limits)
    )
    return laid_out(figure, height=HEIGHT + 60)


def _height(groups: pd.DataFrame, limits: pd.DataFrame) -> list[float] | None:
    """Return the part of the axis that the groups need: limits of a few jobs would fill it all."""
    if groups.empty:
        return None
    shown = limits[limits["jobs"] >= groups["judged_jobs"].min() / 2]
    low = min(groups["judged_rate"].min(), shown["low_998"].min())
    high = max(groups["judged_rate"].max(), shown["high_998"].max())
    return [max(low - 0.03, -0.03), min(high + 0.05, 1.05)]


def _add_groups(figure: go.Figure, part: pd.DataFrame, name: str, colour: str, symbol: str) -> None:
    if part.empty:
        return
    figure.add_trace(
        go.Scatter(
            x=part["judged_jobs"],
            y=part["judged_rate"],
            mode="markers" if name == VERDICTS["inside"] else "markers+text",
            text=part["label"],
            textposition="top center",
            name=name,
            marker={
                "color": colour,
                "symbol": symbol,
                "size": 10,
                "opacity": part["is_few"].map({True: 0.4, False: 1.0}),
            },
            customdata=part[["group", "words"]],
            hovertemplate="%{text}: %{customdata[1]}<extra></extra>",
        )
    )


def month_signals(months: pd.DataFrame, min_jobs: int, marks: Sequence[Mark] = ()) -> go.Figure:
    """Draw the months between their limits; signals stand out, few jobs fade, changes are marked.

    `months`: the measure month_signals. Months without a mature job are left out. The custom data
    of a dot begin with its month.
    """
    known = months[months["mature"] > 0]
    is_few = known["mature"] < min_jobs  # their limits leave the chart: they say nothing
    figure = go.Figure()
    for column, name in (("upper_3s", "normal range"), ("lower_3s", None)):
        figure.add_trace(
            go.Scatter(
                x=known["month"].map(month_tick),
                y=known[column].mask(is_few),
                mode="lines",
                line={"shape": "hvh", "dash": "dash", "color": QUIET, "width": 1.5},
                name=name,
                showlegend=name is not None,
                hoverinfo="skip",
            )
        )
    figure.add_trace(
        go.Scatter(
            x=known["month"].map(month_tick),
            y=known["centre"],
            mode="lines",
            line={"color": QUIET, "width": 1},
            name="usual",
            hoverinfo="skip",
        )
    )
    has_signal = known["signals"].fillna("") != ""
    _add_months(figure, known[~has_signal], "within normal range", SHOP, "circle", min_jobs)
    _add_months(figure, known[has_signal], "more than chance explains", BAD, "square", min_jobs)
    add_marks(figure, known["month"].tolist(), marks)
    figure.update_xaxes(
        **MONTHS,
        categoryorder="array",
        categoryarray=known["month"].map(month_tick).tolist(),
    )
    enough = known[known["mature"] >= min_jobs]
    axis = known if enough.empty else enough
    low, high = axis[["lower_3s", "rate"]].min().min(), axis[["upper_3s", "rate"]].max().max()
    figure.update_yaxes(
        title="first-time fix, % of jobs",
        tickformat=".0%",
        range=[low - 0.05, min(high + 0.05, 1.05)],
    )
    return laid_out(figure)


def _add_months(
    figure: go.Figure, part: pd.DataFrame, name: str, colour: str, symbol: str, min_jobs: int
) -> None:
    if part.empty:
        return
    opacity = [0.4 if mature < min_jobs else 1.0 for mature in part["mature"]]
    figure.add_trace(
        go.Scatter(
            x=part["month"].map(month_tick),
            y=part["rate"],
            mode="markers",
            name=name,
            marker={"color": colour, "symbol": symbol, "size": 9, "opacity": opacity},
            customdata=part.assign(name=part["month"].map(month))[["month", "name", "mature"]],
            hovertemplate="%{customdata[1]}: %{y:.0%} of %{customdata[2]:,} jobs<extra></extra>",
        )
    )
