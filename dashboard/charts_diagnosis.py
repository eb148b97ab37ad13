"""Charts of misdiagnosis, confusion, power and order of tests: DataFrame → figure."""

from collections.abc import Mapping, Sequence

import pandas as pd
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from dashboard.charts import BAD, DOUBT, QUIET, SHOP
from dashboard.stats.test_order import Step

VERDICT_COLOURS = {"inside": SHOP, "look": DOUBT, "different": BAD, "too few": QUIET}
VERDICT_WORDS = {
    "inside": "what chance alone produces",
    "look": "worth a look",
    "different": "different from the shop",
    "too few": "too few jobs to say",
}


def _layout(figure: go.Figure, height: int, **options: object) -> go.Figure:
    figure.update_layout(
        height=height,
        margin={"l": 8, "r": 8, "t": 28, "b": 8},
        legend={"orientation": "h", "y": 1.0, "x": 0, "yanchor": "bottom"},
        hovermode="closest",
        **options,
    )
    figure.update_xaxes(automargin=True)
    figure.update_yaxes(automargin=True)
    return figure


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
            name="expected of this group's jobs",
            marker={"symbol": "line-ns-open", "size": 18, "color": QUIET, "line": {"width": 3}},
            hovertemplate="%{y}: %{x:.0%} expected<extra></extra>",
        )
    )
    for verdict, words in VERDICT_WORDS.items():
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
                error_x={
                    "type": "data",
                    "array": part["high"] - part["rate"],
                    "arrayminus": part["rate"] - part["low"],
                    "color": QUIET,
                    "thickness": 1.2,
                    "width": 3,
                },
                customdata=part[["words"]],
                hovertemplate="%{y}: %{customdata[0]}<extra></extra>",
            )
        )
    figure.update_xaxes(tickformat=".0%", title=name, rangemode="tozero")
    figure.update_yaxes(categoryorder="array", categoryarray=ordered["label"].tolist())
    return _layout(figure, max(220, 130 + 26 * len(table)))


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
                "recorded as %{y}<br>turned out as %{x}: %{customdata} jobs, %{z:.0%}"
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
    figure.update_yaxes(title="recorded as")
    return _layout(figure, 220 + 26 * len(matrix))


def two_orders(
    usual: Sequence[Step], best: Sequence[Step], names: Mapping[str, str], parts_at: int | None
) -> go.Figure:
    """Draw both orders as one picture: what is done by which minute, and what is found by then.

    Above, each order as a bar of tests (opening and closing included in a test's length); below,
    the share of faults found by each minute of work. The dotted line is where the orders part.
    """
    figure = make_subplots(
        rows=2, cols=1, shared_xaxes=True, row_heights=[0.36, 0.64], vertical_spacing=0.06
    )
    lanes = (("best", best, SHOP), ("usual", usual, BAD))
    numbers = {step.test: place for place, step in enumerate(best, start=1)}
    for name, steps, colour in lanes:
        _add_lane(figure, name, steps, colour, names, numbers)
        _add_curve(figure, name, steps, colour, names)
    if parts_at is not None:
        minute = sum(step.minutes for step in best[:parts_at])
        figure.add_vline(x=minute, line={"dash": "dot", "color": QUIET})
        figure.add_annotation(
            x=minute, y=1, xref="x2", yref="y2 domain", text="from here they differ",
            showarrow=False, xanchor="left", yanchor="top", font={"size": 12, "color": QUIET},
        )  # fmt: skip
    figure.update_yaxes(row=2, title="faults found", tickformat=".0%", rangemode="tozero")
    figure.update_xaxes(row=2, title="minutes of work when nothing is found before")
    return _layout(figure, 430, barmode="stack", bargap=0.25, legend_traceorder="reversed")


def _add_lane(
    figure: go.Figure,
    lane: str,
    steps: Sequence[Step],
    colour: str,
    names: Mapping[str, str],
    numbers: Mapping[str, int],
) -> None:
    start = 0.0
    for place, step in enumerate(steps, start=1):
        nodes = [node.replace("_", " ") for node in step.opened if node != "none"]
        opened = f", opening {', '.join(nodes)}" if nodes else ""
        figure.add_trace(
            go.Bar(
                x=[step.minutes],
                base=[start],
                y=[lane],
                orientation="h",
                marker={"color": colour, "line": {"color": "white", "width": 1.5}},
                text=str(numbers.get(step.test, place)),
                textposition="inside",
                insidetextanchor="middle",
                textfont={"color": "white"},
                showlegend=False,
                hovertemplate=f"{place}. {names[step.test]}: {step.minutes:.0f} min{opened}"
                "<extra></extra>",
            ),
            row=1,
            col=1,
        )
        start += step.minutes


def _add_curve(
    figure: go.Figure, lane: str, steps: Sequence[Step], colour: str, names: Mapping[str, str]
) -> None:
    minutes, found = [0.0], [0.0]
    for step in steps:
        minutes.append(minutes[-1] + step.minutes)
        found.append(step.found_by_then)
    figure.add_trace(
        go.Scatter(
            x=minutes,
            y=found,
            mode="lines+markers",
            name=f"{lane} order",
            line={"shape": "hv", "color": colour, "dash": "solid" if lane == "best" else "dash"},
            marker={"size": 6},
            customdata=["start", *(names[step.test] for step in steps)],
            hovertemplate="minute %{x:.0f}, after %{customdata}: %{y:.0%} found<extra></extra>",
        ),
        row=2,
        col=1,
    )


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
    return _layout(figure, 150 + 24 * len(table))


def test_shares(table: pd.DataFrame, name: str) -> go.Figure:
    """Draw a share per test with its interval. Columns label, value, low, high, words."""
    ordered = table.iloc[::-1]
    figure = go.Figure(
        go.Scatter(
            x=ordered["value"],
            y=ordered["label"],
            mode="markers",
            marker={"color": SHOP, "size": 9},
            error_x={
                "type": "data",
                "array": ordered["high"] - ordered["value"],
                "arrayminus": ordered["value"] - ordered["low"],
                "color": QUIET,
                "thickness": 1.2,
                "width": 3,
            },
            customdata=ordered[["words"]],
            hovertemplate="%{y}: %{customdata[0]}<extra></extra>",
        )
    )
    figure.update_xaxes(tickformat=".0%", title=name, range=[-0.02, 1.02])
    return _layout(figure, 130 + 26 * len(table))
