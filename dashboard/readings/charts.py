"""Charts of readings: DataFrame → plotly figure; colours as in charts.py."""

import math

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, BAR_GAP, DOUBT, GOOD_BAND, MONTHS, SHOP, laid_out, whiskers
from dashboard.rows import Row
from dashboard.text.format import month, month_tick

SOUND = "#009E73"
BAR_DATA = ["is_open", "first", "last", "is_replaced", "bin_low", "bin_high"]
VALUES = ["smallest", "largest", "bin_low", "bin_high"]
EDGES = ["p05", "p95", "tol_low", "tol_high", "fail_below", "fail_above"]
STATES = ((False, "part stayed", SHOP), (True, "part replaced", BAD))


def view_of(bins: pd.DataFrame, row: Row) -> tuple[float, float] | None:
    """Return the part of the axis that holds the bulk: 5 % to 95 %, one and a half times as wide.

    None where all readings are in it, where the axis is logarithmic, or without numbers.
    """
    closed = bins[~bins["is_open"]]
    if closed.empty or bool(bins["is_log"].any()) or pd.isna(row["p05"]):
        return None
    smallest, largest = closed["smallest"].min(), closed["largest"].max()
    reach = 1.5 * (row["p95"] - row["p05"])
    low, high = max(row["p05"] - reach, smallest), min(row["p95"] + reach, largest)
    if reach == 0 or (low == smallest and high == largest):
        return None
    edges = [e for e in (row["tol_low"], row["tol_high"]) if smallest <= e <= largest]
    return float(min([low, *edges])), float(max([high, *edges]))


def beyond(bins: pd.DataFrame, view: tuple[float, float] | None) -> int:
    """Count the readings with a number that lie outside the view."""
    if view is None:
        return 0
    is_out = (bins["largest"] < view[0]) | (bins["smallest"] > view[1])
    return int(bins.loc[is_out & ~bins["is_open"], "readings"].sum())


def distribution(bins: pd.DataFrame, limits: pd.Series, unit: str) -> go.Figure:
    """Draw the readings of one test point: parts replaced and parts that stayed, apart.

    The green band is inside the limits, dotted lines are where outside begins. Open readings stand
    in a panel of their own at the right: open is a state, not a large number. Each bar carries
    BAR_DATA, so that a page can open the jobs behind it: `first` and `last` are its smallest and
    largest reading as the records have them, where the others were converted for the chart.
    """
    if "first" not in bins:
        bins = bins.assign(first=bins["smallest"], last=bins["largest"])
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
        title=f"reading, {unit}" if unit else "reading",
        type="log" if is_log else "linear",
        domain=[0, 0.86 if has_open else 1],
    )
    if has_open:
        figure.update_layout(xaxis2={"domain": [0.9, 1], "anchor": "y", "type": "category"})
    if not closed.empty and not is_log:
        _show_bulk(figure, closed, view_of(bins, limits))
    figure.update_yaxes(title="readings")
    return laid_out(figure, barmode="stack", clickmode="event+select", bargap=BAR_GAP)


def _show_bulk(figure: go.Figure, closed: pd.DataFrame, view: tuple[float, float] | None) -> None:
    """Start at the bulk, with round ticks: left alone, plotly puts them at the middle of bars."""
    whole = (closed["bin_low"].min(), closed["bin_high"].max())
    low, high = view or whole
    margin = 0.03 * (high - low)
    further = [tick for tick in _round_ticks(*whole) if not low <= tick <= high]
    ticks = {"tickmode": "array", "tickvals": [*_round_ticks(low, high), *further]}
    shown = {"range": [low - margin, high + margin]} if view else {}
    figure.update_layout(xaxis=ticks | shown)


def _round_ticks(low: float, high: float) -> list[float]:
    """Return up to about ten round numbers from low to high."""
    if not high > low:
        return [low]
    power = 10 ** math.floor(math.log10((high - low) / 5))
    step = next(k * power for k in (1, 2, 5, 10) if (high - low) / (k * power) <= 10)
    first = math.ceil(low / step - 1e-9)
    return [round(n * step, 12) for n in range(first, math.floor(high / step + 1e-9) + 1)]


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
            x=[month_tick(each) for each in known["month"]],
            y=known["p50"],
            mode="lines+markers",
            name="median, and quartiles",
            line={"color": SHOP, "width": 1},
            marker={"color": SHOP, "size": 7},
            error_y=whiskers(known, "p50", "p25", "p75"),
            customdata=known[["n", "p25", "p75"]].assign(month=known["month"].map(month)),
            hovertemplate="%{customdata[3]}: %{y:.4g} (%{customdata[1]:.4g} to "
            "%{customdata[2]:.4g}), %{customdata[0]} readings<extra></extra>",
        )
    )
    top, bottom = known["p75"].max(), known["p25"].min()
    for edge in (limits["tol_low"], limits["tol_high"]):
        if not pd.isna(edge) and bottom - (top - bottom) <= edge <= top + (top - bottom):
            figure.add_hline(y=edge, line={"dash": "dash", "width": 1, "color": SOUND})
    figure.update_xaxes(**MONTHS)
    figure.update_yaxes(title=f"reading, {unit}" if unit else "reading")
    return laid_out(figure)
