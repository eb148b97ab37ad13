"""Two orders of tests as one picture."""

from collections.abc import Mapping, Sequence

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from dashboard.charts.theme import BAD, QUIET, SHOP, laid_out
from dashboard.stats.sequencing.exact import Step


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
    return laid_out(figure, height=430, barmode="stack", bargap=0.25, legend_traceorder="reversed")


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
                customdata=[step.test],
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
