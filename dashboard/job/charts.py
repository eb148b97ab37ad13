"""One job in one picture: visits, readings in order against their limits, parts, callbacks."""

import math
import re

import pandas as pd
import plotly.graph_objects as go

from dashboard.charts.theme import BAD, DOUBT, GOOD_BAND, QUIET, SHOP, laid_out
from dashboard.database.labels import Labels
from dashboard.job.sentences import Job, call_words, part_words, reading_words, visit_words
from dashboard.rows import Row, each_row
from dashboard.text.format import is_missing

ZONES = {"inside": SHOP, "doubtful": DOUBT, "outside": BAD, "no verdict": QUIET}
SYMBOLS = {"inside": "circle", "doubtful": "diamond", "outside": "x", "no verdict": "circle-open"}
EVIDENCE = {"supported": SHOP, "unclear": DOUBT, "against": BAD, "not tested": DOUBT}
PART_ROW, OPEN_ROW, TOP = -1.35, 2.1, 1.8  # heights in the picture; limits lie at 0 and 1
WIDE_BLOCK = 4  # a visit drawn narrower than this many readings has only its number


def height(row: Row) -> float:
    """Return how high a reading stands: 0 at its low limit, 1 at its high one, cut beyond.

    An open reading stands above all numbers. What was seen, and what has no number or no limits,
    stands by its verdict: in the middle of the band, at its edge, or outside.
    """
    if row.is_open:
        return OPEN_ROW
    low, high = (None if is_missing(edge) else float(edge) for edge in (row.low, row.high))
    if is_missing(row.value) or (low is None and high is None):
        return {"outside": TOP, "doubtful": 1.2}.get(row.zone, 0.5)
    value = float(row.value)
    if low is None:
        return _cut(value / high if high else 1 + value)
    if high is None:
        # nothing above: the band is approached, never left; below the limit it falls under 0
        return _cut(1 - low / value if low and value >= low else value - low)
    span = high - low or 1.0
    if low > 0 and high / low > 20 and value > 0:
        return _cut(math.log(value / low) / math.log(high / low))
    return _cut((value - low) / span)


def _cut(place: float) -> float:
    return min(max(place, 1 - TOP), TOP)


def timeline(job: Job, labels: Labels) -> go.Figure:
    """Draw the job from left to right; within a visit the readings are in the order taken."""
    figure = go.Figure()
    figure.add_hrect(y0=0, y1=1, fillcolor=GOOD_BAND, line_width=0, layer="below")
    places, x = {}, 0.0
    for number, name in _blocks(job, labels):
        start = x
        own = job.readings[job.readings["visit_no"].fillna(-1) == number]
        for row in each_row(own):
            places[row.seq] = x + 0.5
            x += 1
        _add_parts(figure, job, number, max(x, start + 2) - 0.5, labels)
        x = max(x, start + 2) + 0.6
        _add_block(figure, start - 0.2, x - 0.4, name)
    _add_calls(figure, job, x, labels)
    _add_readings(figure, job, places, labels)
    ticks = [labels.of("test_point", _point(row)) for row in each_row(job.readings)]
    figure.update_xaxes(
        tickvals=[places[seq] for seq in job.readings["seq"]],
        ticktext=ticks,
        tickangle=-60,
        showgrid=False,
        zeroline=False,
        automargin=True,
        range=[-0.6, x + (2.4 if len(job.calls) else 0)],
    )
    figure.update_yaxes(
        tickvals=[PART_ROW, 0, 1, OPEN_ROW],
        ticktext=["parts", "low limit", "high limit", "open"],
        range=[PART_ROW - 0.4, OPEN_ROW + 0.9],
        showgrid=False,
        zeroline=False,
    )
    return laid_out(figure, height=480)


def _point(row: Row) -> str:
    return str(row.written_point if is_missing(row.test_point) else row.test_point)


def _blocks(job: Job, labels: Labels) -> list[tuple[int, str]]:
    """Return (visit number, heading); -1 holds the readings that name no known visit."""
    blocks = [(visit.visit_no, visit_words(visit, labels)) for visit in each_row(job.visits)]
    known = {number for number, _ in blocks}
    loose = job.readings.loc[~job.readings["visit_no"].fillna(-1).isin(known), "visit_no"]
    extra = sorted(set(loose.fillna(-1).astype(int)))
    return blocks + [(n, "no visit noted" if n == -1 else f"Visit {n}") for n in extra]


def _add_block(figure: go.Figure, left: float, right: float, name: str) -> None:
    figure.add_vrect(
        x0=left, x1=right, line={"color": QUIET, "width": 1}, fillcolor="rgba(0,0,0,0)"
    )
    head = name.replace(", ", "\n", 1).replace(": ", "\n", 1)
    short = re.split("[,:]", name, maxsplit=1)[0].removeprefix("Visit ")
    figure.add_annotation(
        x=left, y=OPEN_ROW + 0.85, text=head if right - left >= WIDE_BLOCK else short,
        hovertext=name, showarrow=False, xanchor="left", yanchor="top", align="left",
        font={"size": 11},
    )  # fmt: skip


def _add_readings(figure: go.Figure, job: Job, places: dict[int, float], labels: Labels) -> None:
    for zone, colour in ZONES.items():
        rows = [r for r in each_row(job.readings) if (_zone(r)) == zone]
        if not rows:
            continue
        figure.add_trace(
            go.Scatter(
                x=[places[row.seq] for row in rows],
                y=[height(row) for row in rows],
                mode="markers",
                name=zone,
                marker={"color": colour, "size": 11, "symbol": SYMBOLS[zone]},
                customdata=[reading_words(row, labels) for row in rows],
                hovertemplate="%{customdata}<extra></extra>",
            )
        )


def _zone(row: Row) -> str:
    return "no verdict" if is_missing(row.zone) or row.zone == "note_type" else row.zone


def _add_parts(figure: go.Figure, job: Job, visit_no: int, right: float, labels: Labels) -> None:
    own = job.parts[job.parts["visit_no"].fillna(-1) == visit_no]
    for place, row in enumerate(each_row(own)):
        evidence = "" if is_missing(row.evidence) else row.evidence
        figure.add_trace(
            go.Scatter(
                x=[right - 0.7 * (len(own) - 1 - place)],
                y=[PART_ROW],
                mode="markers",
                showlegend=False,
                marker={
                    "symbol": "square" if evidence == "supported" else "square-open",
                    "size": 15,
                    "color": EVIDENCE.get(evidence, QUIET),
                    "line": {"width": 3, "color": EVIDENCE.get(evidence, QUIET)},
                },
                customdata=[part_words(row, labels)],
                hovertemplate="%{customdata}<extra></extra>",
            )
        )


def _add_calls(figure: go.Figure, job: Job, x: float, labels: Labels) -> None:
    later = job.calls[job.calls["relation"] == "came back as"]
    for row in each_row(later.head(1)):
        figure.add_annotation(
            x=x + 2.2, y=0.5, ax=x - 0.4, ay=0.5, axref="x", ayref="y", arrowcolor=BAD,
            arrowwidth=2, arrowhead=3, text="", showarrow=True,
        )  # fmt: skip
        figure.add_annotation(
            x=x + 0.9, y=0.62, text=f"back after\n{row.callback_days} days", showarrow=False,
            yanchor="bottom", hovertext=call_words(row, labels), font={"color": BAD},
        )  # fmt: skip


def alt_text(job: Job, labels: Labels) -> str:
    """Say the picture in words: visits, readings outside limits, parts, callbacks."""
    outside = job.readings[job.readings["zone"] == "outside"]
    parts = [
        f"{len(job.visits)} visits, {len(job.readings)} readings",
        *(reading_words(row, labels) for row in each_row(outside)),
        *(part_words(row, labels) for row in each_row(job.parts)),
        *(call_words(row, labels) for row in each_row(job.calls)),
    ]
    return "; ".join(parts)


def frame(job: Job, labels: Labels) -> pd.DataFrame:
    """Return the readings as a table for the page: order, visit, test, reading, limits, verdict."""
    rows = [
        (row.seq, row.visit_no, labels.of("test_point", _point(row)), row.written_value, _zone(row))
        for row in each_row(job.readings)
    ]
    return pd.DataFrame(rows, columns=["seq", "visit_no", "test", "written", "zone"])
