"""Charts of limit review and meter check: DataFrame → plotly figure."""

import numpy as np
import pandas as pd
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from dashboard.charts.theme import BAD, QUIET, SHOP, laid_out, whiskers
from dashboard.rows import Row

BARS, WIDE = 40, 50  # bars of a histogram; range (high / low) from which the axis is logarithmic


def histograms(readings: pd.DataFrame, line: float, unit: str) -> go.Figure:
    """Draw readings of failed and of good parts, one above the other, with a line across both.

    Columns value (NULL = open, not drawn) and is_failed.
    """
    known = readings[readings["value"].notna()]
    values = known["value"].to_numpy(float)
    is_log = bool(len(values)) and values.min() > 0 and values.max() > WIDE * values.min()
    edges = _edges(np.append(values, line), is_log)
    figure = make_subplots(rows=2, cols=1, shared_xaxes=True, vertical_spacing=0.08)
    for row, (is_failed, name, colour) in enumerate(
        ((True, "failed parts", BAD), (False, "good parts", SHOP)), start=1
    ):
        counts, _ = np.histogram(values[known["is_failed"].to_numpy(bool) == is_failed], edges)
        figure.add_trace(
            go.Bar(
                x=(edges[:-1] + edges[1:]) / 2,
                width=np.diff(edges),
                y=counts,
                name=name,
                marker={"color": colour, "line": {"width": 0}},
                hovertemplate=f"about %{{x:.4g}} {unit}: %{{y:,}} {name}<extra></extra>",
            ),
            row=row,
            col=1,
        )
    figure.add_vline(x=line, line={"width": 2, "dash": "dash", "color": QUIET})
    figure.update_yaxes(title="readings", rangemode="tozero")
    if is_log:
        figure.update_xaxes(type="log")
    figure.update_xaxes(title=f"reading, {unit}" if unit else "reading", row=2)
    return laid_out(figure, height=380)


def _edges(values: np.ndarray, is_log: bool) -> np.ndarray:
    low, high = float(values.min()), float(values.max())
    if low == high:
        return np.array([low - 0.5, low + 0.5])
    if is_log:
        return np.geomspace(low * 0.999, high * 1.001, BARS + 1)
    return np.linspace(low, high, BARS + 1)


def roc(curve: pd.DataFrame, row: Row) -> go.Figure:
    """Draw what each limit finds of the condemned against what it fails of the good parts."""
    is_above = row["condemns"] == "above"
    found = curve["found_above"] if is_above else 1 - curve["found_above"]
    blamed = curve["blamed_above"] if is_above else 1 - curve["blamed_above"]
    figure = go.Figure(
        go.Scatter(
            x=[0, *blamed, 1] if is_above else [1, *blamed, 0],
            y=[0, *found, 1] if is_above else [1, *found, 0],
            mode="lines",
            name="every possible limit",
            line={"color": SHOP, "width": 2},
            hovertemplate="finds %{y:.0%}, fails %{x:.0%} of the good<extra></extra>",
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
                hovertemplate="best limit: %{y:.0%} found, %{x:.0%} failed<extra></extra>",
            )
        )  # fmt: skip
    figure.update_xaxes(title="good parts failed", tickformat=".0%", range=[-0.02, 1.02])
    figure.update_yaxes(title="failed parts found", tickformat=".0%", range=[-0.02, 1.02])
    return laid_out(figure)


def shifts(table: pd.DataFrame) -> go.Figure:
    """Draw one technician's shift at each test point with its interval; flagged ones stand out."""
    ordered = table.iloc[::-1]
    figure = go.Figure()
    for is_flagged, name, colour in ((False, "agrees", QUIET), (True, "reads differently", BAD)):
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
                error_x=whiskers(part, "shift", "shift_low", "shift_high"),
                customdata=part[["n"]],
                hovertemplate="%{y}: %{x:+.1%}, %{customdata[0]:,} readings<extra></extra>",
            )
        )
    figure.add_vline(x=0, line={"dash": "dash", "color": QUIET})
    figure.update_xaxes(tickformat=".0%", title="difference from the other meters")
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return laid_out(figure, height=max(220, 110 + 24 * len(table)))
