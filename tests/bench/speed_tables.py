"""The tables of the bench of speed: contenders, steps, whole answers, waits."""

import json

from tests.bench.goals import Measured
from tests.bench.page_queries import FILTERS, READERS

STEPS_SHOWN = 12


def contenders(found: Measured) -> list[str]:
    """Return the table of times and memory."""
    table = ["| contender | wall, s | processor, s | peak, MB |", "| --- | --- | --- | --- |"]
    for name in found.contest.runs:
        run = found.contest.median(name)
        table.append(f"| {name} | {run.wall_s:.1f} | {run.cpu_s:.1f} | {run.peak_mb:,.0f} |")
    return table


def steps(found: Measured) -> list[str]:
    """Return the table of the steps that took longest in the last load."""
    text = (found.contest.out("ours") / "steps.json").read_text(encoding="utf-8")
    seconds = sorted(json.loads(text).items(), key=lambda item: -item[1])[:STEPS_SHOWN]
    return ["| step | s |", "| --- | --- |", *(f"| {name} | {s:.1f} |" for name, s in seconds)]


def answers(found: Measured) -> list[str]:
    """Return the table of the whole answers."""
    table = ["| measure | wall, s | processor, s |", "| --- | --- | --- |"]
    for name, spent in found.answers.items():
        table.append(f"| {name} | {spent.wall_s:.2f} | {spent.cpu_s:.2f} |")
    return table


def waits(found: Measured) -> list[str]:
    """Return the table of the measures' waits, and of twenty readers."""
    table = [
        f"Each measure's SQL with {FILTERS} random filters, one reader:",
        "",
        "| measure | p50, ms | p95, ms | longest, ms |",
        "| --- | --- | --- | --- |",
    ]
    rows = found.waits | {f"{READERS} readers, any measure": found.many[1]}
    for name, wait in rows.items():
        table.append(f"| {name} | {wait.p50_ms:.0f} | {wait.p95_ms:.0f} | {wait.max_ms:.0f} |")
    return table
