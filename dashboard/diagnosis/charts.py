"""Charts of misdiagnosis, confusion, power of tests and likely causes: DataFrame → figure."""

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, DOUBT, QUIET, SHOP, laid_out, whiskers
from dashboard.fairness.sentences import VERDICTS

VERDICT_COLOURS = {
    "inside": SHOP,
    "look": DOUBT,
    "different": BAD,
    "too few": QUIET,
    "not compared": QUIET,
}


def rate_with_expected(table: pd.DataFrame, name: str) -> go.Figure:
    """Draw each group's rate with its interval, and the rate expected of its own mix of work.

    Columns label, rate, low, high, expected_rate, words, verdict; groups in alphabetical order.
    """
    ordered = table.iloc[::-1]
    figure = go.Figure()
    figure.add_trace(
        go.Scatter(
            x=ordered["expected_rate"],
            y=ordered["label"],
            mode="markers",
            name="rest of the shop, same work",
            marker={"symbol": "line-ns-open", "size": 18, "color": QUIET, "line": {"width": 3}},
            hovertemplate="%{y}: %{x:.0%} expected<extra></extra>",
        )
    )
    for verdict, words in VERDICTS.items():
        part = ordered[ordered["verdict"] == verdict]
        if part.empty:
            continue
        figure.add_trace(
            go.Scatter(
                x=part["rate"],
                y=part["label"],
                mode="markers",
                name=words,
                marker={"color": VERDICT_COLOURS[verdict], "size": 10},
                opacity=0.5 if verdict == "too few" else 1,
                error_x=whiskers(part),
                customdata=part[["words"]],
                hovertemplate="%{y}: %{customdata[0]}<extra></extra>",
            )
        )
    figure.update_xaxes(tickformat=".0%", title=f"{name}, % of jobs", rangemode="tozero")
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return laid_out(figure, height=max(220, 130 + 26 * len(table)))


def confusion(matrix: pd.DataFrame) -> go.Figure:
    """Draw first diagnosis (rows) against final cause (columns); the diagonal is what held.

    The colour is the share of the row, so that frequent causes do not drown the others.
    """
    rows = matrix.iloc[::-1]
    share = rows.div(rows.sum(axis=1).clip(lower=1), axis=0)
    figure = go.Figure(
        go.Heatmap(
            z=share,
            x=matrix.columns.tolist(),
            y=rows.index.tolist(),
            customdata=rows,
            colorscale=[[0, "rgba(0,114,178,0)"], [1, "rgba(0,114,178,1)"]],
            zmin=0,
            zmax=1,
            showscale=False,
            xgap=2,
            ygap=2,
            hovertemplate=(
                "diagnosed as %{y}<br>turned out to be %{x}: %{customdata} jobs, %{z:.0%}"
                "<extra></extra>"
            ),
        )
    )
    cells = [(x, y, rows.loc[y, x], share.loc[y, x]) for y in rows.index for x in rows.columns]
    for is_dark in (True, False):  # white on dark cells, the page's own colour on the others
        shown = [cell for cell in cells if cell[2] > 0 and (cell[3] > 0.4) == is_dark]
        figure.add_trace(
            go.Scatter(
                x=[cell[0] for cell in shown],
                y=[cell[1] for cell in shown],
                text=[f"{cell[2]:,}" for cell in shown],
                mode="text",
                textfont={"color": "white"} if is_dark else {},
                hoverinfo="skip",
                showlegend=False,
            )
        )
    figure.update_xaxes(showgrid=False)
    figure.update_yaxes(showgrid=False)
    figure.update_xaxes(title="what it turned out to be", side="top", tickangle=-40)
    figure.update_yaxes(title="first diagnosis")
    return laid_out(figure, height=220 + 26 * len(matrix))


def posterior(table: pd.DataFrame) -> go.Figure:
    """Draw how likely each cause is, before the readings (tick) and after them (bar).

    Columns label, before, after, is_final (what it turned out to be); likeliest on top.
    """
    ordered = table.iloc[::-1]
    figure = go.Figure(
        go.Bar(
            x=ordered["after"],
            y=ordered["label"],
            orientation="h",
            name="after the readings",
            marker={"color": [BAD if is_final else SHOP for is_final in ordered["is_final"]]},
            hovertemplate="%{y}: %{x:.0%} after the readings<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=ordered["before"],
            y=ordered["label"],
            mode="markers",
            name="before any reading",
            marker={"symbol": "line-ns-open", "size": 14, "color": QUIET, "line": {"width": 3}},
            hovertemplate="%{y}: %{x:.0%} before<extra></extra>",
        )
    )
    figure.update_xaxes(tickformat=".0%", title="how likely", range=[0, 1])
    return laid_out(figure, height=150 + 24 * len(table))


def hits_and_false_alarms(table: pd.DataFrame) -> go.Figure:
    """Draw each test's hit rate next to its false alarms, with their intervals, in table order.

    Columns label, hit, hit_low, hit_high, hit_words, and the same with `alarm`.
    """
    ordered = table.iloc[::-1]
    figure = go.Figure()
    for which, name, colour, symbol in (
        ("hit", "hit rate: outside with this cause", SHOP, "circle"),
        ("alarm", "false alarms: outside with another cause", BAD, "diamond"),
    ):
        known = ordered[ordered[which].notna()]
        figure.add_trace(
            go.Scatter(
                x=known[which],
                y=known["label"],
                mode="markers",
                name=name,
                marker={"color": colour, "size": 10, "symbol": symbol},
                error_x=whiskers(known, which, f"{which}_low", f"{which}_high"),
                customdata=known[[f"{which}_words"]],
                hovertemplate="%{y}: %{customdata[0]}<extra></extra>",
            )
        )
    figure.update_xaxes(
        tickformat=".0%", title="jobs that read outside limits", range=[-0.02, 1.02]
    )
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return laid_out(figure, height=150 + 30 * len(table))


def calibration(table: pd.DataFrame) -> go.Figure:
    """Draw the share that was right against the chance printed; on the diagonal both agree.

    Columns chance, share, low, high, parts.
    """
    figure = go.Figure(
        go.Scatter(
            x=[0, 1], y=[0, 1], mode="lines", name="as printed", hoverinfo="skip",
            line={"color": QUIET, "dash": "dot"},
        )
    )  # fmt: skip
    figure.add_trace(
        go.Scatter(
            x=table["chance"],
            y=table["share"],
            mode="markers",
            name="were right",
            marker={"color": SHOP, "size": 9},
            error_y={
                "type": "data",
                "symmetric": False,
                "array": table["high"] - table["share"],
                "arrayminus": table["share"] - table["low"],
            },
            customdata=table[["parts"]],
            hovertemplate="%{x:.0%} printed, %{y:.0%} right of %{customdata[0]:,}<extra></extra>",
        )
    )
    figure.update_xaxes(tickformat=".0%", title="chance printed", range=[0, 1.02])
    figure.update_yaxes(tickformat=".0%", title="were right", range=[0, 1.05])
    return laid_out(figure, height=380)
