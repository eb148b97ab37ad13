"""Charts of readings: DataFrame → plotly figure; colours as in charts.py."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts import BAD, DOUBT, GOOD_BAND, QUIET, SHOP, _layout

SOUND = "#009E73"
BAR_DATA = ["is_open", "smallest", "largest", "is_replaced", "bin_low", "bin_high"]
STATES = ((False, "part stayed", SHOP), (True, "part replaced", BAD))


def distribution(bins: pd.DataFrame, limits: pd.Series, unit: str) -> go.Figure:
    """Draw the readings of one test point: parts replaced and parts that stayed, apart.

    The green band is inside the limits, dotted lines are where outside begins. Open readings stand
    in a panel of their own at the right: open is a state, not a large number. Each bar carries
    BAR_DATA, so that a page can open the jobs behind it.
    """
    figure = go.Figure()
    has_open = bool(bins["is_open"].any())
    for is_replaced, name, colour in STATES:
        part = bins[bins["is_replaced"] == is_replaced]
        figure.add_trace(_number_bars(part[~part["is_open"]], name, colour, unit))
        if has_open:
            figure.add_trace(_open_bars(part[part["is_open"]], name, colour))
    closed = bins[~bins["is_open"]]
    if not closed.empty:
        _limit_band(figure, closed, limits)
    is_log = bool(bins["is_log"].any())
    figure.update_xaxes(
        title=unit, type="log" if is_log else "linear", domain=[0, 0.86 if has_open else 1]
    )
    if has_open:
        figure.update_layout(xaxis2={"domain": [0.9, 1], "anchor": "y", "type": "category"})
    figure.update_yaxes(title="readings")
    return _layout(figure, barmode="stack", clickmode="event+select")


def _number_bars(part: pd.DataFrame, name: str, colour: str, unit: str) -> go.Bar:
    wide = part["bin_high"] - part["bin_low"]
    return go.Bar(
        x=(part["bin_low"] + part["bin_high"]) / 2,
        width=wide.where(wide > 0, part["bin_low"].abs() * 0.02 + 0.01),
        y=part["readings"],
        name=name,
        marker={"color": colour, "line": {"width": 0}},
        customdata=part[BAR_DATA],
        hovertemplate=(
            "%{customdata[4]:.4g} to %{customdata[5]:.4g} "
            + f"{unit}: %{{y}} readings, {name}<extra></extra>"
        ),
    )


def _open_bars(part: pd.DataFrame, name: str, colour: str) -> go.Bar:
    return go.Bar(
        x=["open"] * len(part),
        y=part["readings"],
        xaxis="x2",
        name=name,
        showlegend=False,
        marker={"color": colour},
        customdata=part[BAR_DATA],
        hovertemplate=f"open: %{{y}} readings, {name}<extra></extra>",
    )


def _limit_band(figure: go.Figure, closed: pd.DataFrame, limits: pd.Series) -> None:
    """Shade what lies inside the limits; weak limits are a dashed outline only."""
    low, high = limits["tol_low"], limits["tol_high"]
    if pd.isna(low) and pd.isna(high):
        return
    smallest, largest = closed["bin_low"].min(), closed["bin_high"].max()
    is_open_below = pd.isna(low) or (low <= 0 and closed["is_log"].any())
    is_weak = limits["confidence"] == "weak"
    figure.add_vrect(
        x0=smallest if is_open_below else low,
        x1=max(largest, smallest if is_open_below else low) if pd.isna(high) else high,
        fillcolor="rgba(0,0,0,0)" if is_weak else GOOD_BAND,
        line={"dash": "dash" if is_weak else "solid", "width": 1, "color": SOUND},
        layer="below",
    )
    for edge in (limits["fail_below"], limits["fail_above"]):
        if not pd.isna(edge) and smallest <= edge <= largest:
            figure.add_vline(x=edge, line={"dash": "dot", "width": 1.5, "color": DOUBT})


def drift(months: pd.DataFrame, limits: pd.Series, unit: str) -> go.Figure:
    """Draw the monthly median of the parts that stayed, with its quartiles and the limits."""
    known = months[months["n"] > 0]
    figure = go.Figure(
        go.Scatter(
            x=known["month"],
            y=known["p50"],
            mode="lines+markers",
            name="median, and quartiles",
            line={"color": SHOP, "width": 1},
            marker={"color": SHOP, "size": 7},
            error_y={
                "type": "data",
                "array": known["p75"] - known["p50"],
                "arrayminus": known["p50"] - known["p25"],
                "color": QUIET,
                "thickness": 1.2,
                "width": 3,
            },
            customdata=known[["n", "p25", "p75"]],
            hovertemplate="%{x}: %{y:.4g} (%{customdata[1]:.4g} to %{customdata[2]:.4g}), "
            "%{customdata[0]} readings<extra></extra>",
        )
    )
    top, bottom = known["p75"].max(), known["p25"].min()
    for edge in (limits["tol_low"], limits["tol_high"]):
        if not pd.isna(edge) and bottom - (top - bottom) <= edge <= top + (top - bottom):
            figure.add_hline(y=edge, line={"dash": "dash", "width": 1, "color": SOUND})
    figure.update_xaxes(type="category", title="month of closing")
    figure.update_yaxes(title=unit)
    return _layout(figure)


def roc(curve: pd.DataFrame, row: pd.Series) -> go.Figure:
    """Draw what each limit finds of the condemned against what it blames of the sound parts."""
    is_above = row["condemns"] == "above"
    found = curve["found_above"] if is_above else 1 - curve["found_above"]
    blamed = curve["blamed_above"] if is_above else 1 - curve["blamed_above"]
    figure = go.Figure(
        go.Scatter(
            x=[0, *blamed, 1] if is_above else [1, *blamed, 0],
            y=[0, *found, 1] if is_above else [1, *found, 0],
            mode="lines",
            name="readings",
            line={"color": SHOP, "width": 2},
            hovertemplate="finds %{y:.0%}, blames %{x:.0%}<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=[0, 1], y=[0, 1], mode="lines", name="chance",
            line={"color": QUIET, "dash": "dash", "width": 1}, hoverinfo="skip",
        )
    )  # fmt: skip
    if row["is_suggested"]:
        figure.add_trace(
            go.Scatter(
                x=[1 - row["specificity"]], y=[row["sensitivity"]], mode="markers",
                name="best limit", marker={"color": BAD, "size": 11},
                hovertemplate="best limit: finds %{y:.0%}, blames %{x:.0%}<extra></extra>",
            )
        )  # fmt: skip
    figure.update_xaxes(title="sound parts blamed", tickformat=".0%", range=[-0.02, 1.02])
    figure.update_yaxes(title="condemned found", tickformat=".0%", range=[-0.02, 1.02])
    return _layout(figure)


def shifts(table: pd.DataFrame) -> go.Figure:
    """Draw one technician's shift at each test point with its interval; flagged ones stand out."""
    ordered = table.iloc[::-1]
    figure = go.Figure()
    for is_flagged, name, colour in ((False, "as the others", QUIET), (True, "flagged", BAD)):
        part = ordered[ordered["flagged"] == is_flagged]
        if part.empty:
            continue
        figure.add_trace(
            go.Scatter(
                x=part["shift"],
                y=part["label"],
                mode="markers",
                name=name,
                marker={
                    "color": colour,
                    "size": 9,
                    "symbol": "diamond" if is_flagged else "circle",
                },
                error_x={
                    "type": "data",
                    "array": part["shift_high"] - part["shift"],
                    "arrayminus": part["shift"] - part["shift_low"],
                    "color": QUIET,
                    "thickness": 1.2,
                    "width": 3,
                },
                customdata=part[["n", "q_value"]],
                hovertemplate="%{y}: %{x:+.1%}, %{customdata[0]} readings, "
                "q = %{customdata[1]:.3f}<extra></extra>",
            )
        )
    figure.add_vline(x=0, line={"dash": "dash", "color": QUIET})
    figure.update_xaxes(tickformat="+.0%", title="shift against the others")
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return _layout(figure, height=max(220, 110 + 24 * len(table)))
