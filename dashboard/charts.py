"""DataFrame → plotly figure: no database, no Streamlit.

Colours have one meaning each: SHOP for the shop's own numbers, BAD for what failed, DOUBT for what
is unclear, QUIET for what is out of the count. They differ in lightness too, so that they hold on
paper and for colour-blind readers.
"""

import pandas as pd
import plotly.graph_objects as go

SHOP, BAD, DOUBT, QUIET, BAND = "#0072B2", "#D55E00", "#E69F00", "#8A8F8D", "rgba(0,114,178,0.18)"
GOOD_BAND = "rgba(0,158,115,0.16)"
HEIGHT = 340


def _layout(figure: go.Figure, **options: object) -> go.Figure:
    figure.update_layout(
        height=HEIGHT,
        margin={"l": 8, "r": 8, "t": 28, "b": 8},
        legend={"orientation": "h", "y": 1.12, "x": 0},
        hovermode="closest",
        bargap=0.05,
    )
    figure.update_layout(**options)
    figure.update_xaxes(automargin=True)
    figure.update_yaxes(automargin=True)
    return figure


def rate_by_month(table: pd.DataFrame, name: str) -> go.Figure:
    """Draw a monthly rate with its 95 % intervals; months without a mature job are left out."""
    known = table[table["mature"] > 0]
    figure = go.Figure(
        go.Scatter(
            x=known["group"],
            y=known["rate"],
            mode="lines+markers",
            name=name,
            line={"color": SHOP, "width": 1},
            marker={"color": SHOP, "size": 8},
            error_y=_whiskers(known),
            customdata=known[["mature"]],
            hovertemplate="%{x}: %{y:.0%} of %{customdata[0]} jobs<extra></extra>",
        )
    )
    figure.update_yaxes(tickformat=".0%", title=name, rangemode="normal")
    figure.update_xaxes(type="category", title="month of closing")
    return _layout(figure)


def _whiskers(table: pd.DataFrame) -> dict:
    return {
        "type": "data",
        "array": table["high"] - table["rate"],
        "arrayminus": table["rate"] - table["low"],
        "color": QUIET,
        "thickness": 1.2,
        "width": 3,
    }


def rate_by_group(table: pd.DataFrame, name: str, shop_rate: float | None) -> go.Figure:
    """Draw each group's rate as a dot with its 95 % interval, groups in alphabetical order.

    Groups with `is_few` are faded. The dashed line is the rate of all of them together.
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
                name=label,
                marker={"color": QUIET if is_few else SHOP, "size": 9},
                opacity=0.5 if is_few else 1,
                error_x=_whiskers(part),
                customdata=part[["group", "words"]],
                hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
            )
        )
    if shop_rate is not None:
        figure.add_vline(x=shop_rate, line={"dash": "dash", "color": QUIET})
    figure.update_xaxes(tickformat=".0%", title=name)
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return _layout(figure, height=max(180, 90 + 26 * len(table)))


def callback_curve(table: pd.DataFrame) -> go.Figure:
    """Draw the share of jobs without a callback, a step line with its 95 % band per group."""
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
                mode="lines",
                name=str(group),
                line={"shape": "hv", "color": colour, "width": 2},
                hovertemplate="day %{x}: %{y:.1%} without a callback<extra></extra>",
            )
        )
    figure.update_xaxes(title="days since the job was closed", range=[0, 365])
    figure.update_yaxes(title="jobs without a callback", tickformat=".0%")
    return _layout(figure, showlegend=table["group"].nunique() > 1)


def _edge(days: list, values: list, fill: str | None = None) -> go.Scatter:
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


def share_bars(table: pd.DataFrame) -> go.Figure:
    """Draw shares as bars with their 95 % intervals, largest on top."""
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
            customdata=ordered[["cause", "words"]],
            hovertemplate="%{y}: %{customdata[1]}<extra></extra>",
        )
    )
    figure.update_xaxes(tickformat=".0%", title="share of jobs")
    return _layout(figure, height=max(200, 90 + 26 * len(table)))


def readings(bins: pd.DataFrame, limits: pd.Series, unit: str, is_log: bool) -> go.Figure:
    """Draw the distribution of one test point: parts replaced and parts that stayed, apart.

    The green band is inside the limits. Open readings stand in a panel of their own at the right:
    they are a state, not a large number.
    """
    figure = go.Figure()
    for is_replaced, name, colour in ((False, "part stayed", SHOP), (True, "part replaced", BAD)):
        part = bins[(bins["is_replaced"] == is_replaced) & ~bins["is_open"]]
        figure.add_trace(
            go.Bar(
                x=(part["bin_low"] + part["bin_high"]) / 2,
                width=part["bin_high"] - part["bin_low"],
                y=part["readings"],
                name=name,
                marker={"color": colour, "line": {"width": 0}},
                customdata=part[["bin_low", "bin_high"]],
                hovertemplate=(
                    "%{customdata[0]:.4g} to %{customdata[1]:.4g} "
                    + unit
                    + ": %{y} readings, "
                    + name
                    + "<extra></extra>"
                ),
            )
        )
        opened = bins[(bins["is_replaced"] == is_replaced) & bins["is_open"]]
        figure.add_trace(
            go.Bar(
                x=["open"] * len(opened),
                y=opened["readings"],
                xaxis="x2",
                name=name,
                showlegend=False,
                marker={"color": colour},
                hovertemplate="open: %{y} readings, " + name + "<extra></extra>",
            )
        )
    _limit_band(figure, bins, limits)
    figure.update_xaxes(title=unit, type="log" if is_log else "linear", domain=[0, 0.86])
    figure.update_layout(xaxis2={"domain": [0.9, 1], "anchor": "y", "type": "category"})
    figure.update_yaxes(title="readings")
    return _layout(figure, barmode="stack")


def _limit_band(figure: go.Figure, bins: pd.DataFrame, limits: pd.Series) -> None:
    """Shade what lies inside the limits; weak limits are a dashed outline only."""
    low, high = limits["tol_low"], limits["tol_high"]
    if pd.isna(low) and pd.isna(high):
        return
    closed = bins[~bins["is_open"]]
    if closed.empty:
        return
    left = closed["bin_low"].min() if pd.isna(low) else low
    right = closed["bin_high"].max() if pd.isna(high) else high
    is_weak = limits["confidence"] == "weak"
    figure.add_vrect(
        x0=left,
        x1=right,
        fillcolor="rgba(0,0,0,0)" if is_weak else GOOD_BAND,
        line={"dash": "dash" if is_weak else "solid", "width": 1, "color": "#009E73"},
        layer="below",
    )
