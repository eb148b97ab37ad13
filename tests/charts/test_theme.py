"""One frame for all charts: the legend below the drawing, room above it for the toolbar."""

import ast
from pathlib import Path

import plotly.graph_objects as go

from dashboard.charts.theme import HEIGHT, LEGEND_ROW, laid_out

DASHBOARD = Path(__file__).parents[2] / "dashboard"


def test_the_legend_is_below_and_the_drawing_keeps_its_height():
    bars = [go.Bar(x=[1], y=[1], name=name) for name in ("a", "b", "c")]
    figure = laid_out(go.Figure(bars))
    assert figure.layout.legend.yref == "container"
    assert (figure.layout.legend.y, figure.layout.legend.yanchor) == (0, "bottom")
    assert figure.layout.height == HEIGHT + 3 * LEGEND_ROW
    assert figure.layout.margin.t >= 30


def test_one_trace_needs_no_room_for_a_legend():
    assert laid_out(go.Figure(go.Bar(x=[1], y=[1], name="a"))).layout.height == HEIGHT


def test_no_chart_places_its_own_legend():
    placed = {
        path.name
        for path in DASHBOARD.rglob("*charts.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.keyword) and node.arg == "legend"
    }
    assert placed == set()
