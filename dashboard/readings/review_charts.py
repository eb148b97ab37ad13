"""Charts of limit review and meter check: DataFrame → plotly figure; colours as in charts.py."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, QUIET, SHOP, laid_out, whiskers


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
    return laid_out(figure)


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
                error_x=whiskers(part, "shift", "shift_low", "shift_high"),
                customdata=part[["n", "q_value"]],
                hovertemplate="%{y}: %{x:+.1%}, %{customdata[0]} readings, "
                "q = %{customdata[1]:.3f}<extra></extra>",
            )
        )
    figure.add_vline(x=0, line={"dash": "dash", "color": QUIET})
    figure.update_xaxes(tickformat="+.0%", title="shift against the others")
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return laid_out(figure, height=max(220, 110 + 24 * len(table)))
