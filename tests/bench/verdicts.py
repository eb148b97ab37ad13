"""Do the verdicts on diagnoses hold? python -m tests.bench.verdicts [SHOPS] [JOBS] [--check].

Simulates shops whose readings follow other chances than the register's and whose technicians are
right in 70, 85 and 95% of jobs, loads each, and compares what is printed with the truth; then does
so with the sample shop. Writes its section of RESULTS.md; with --check it fails where a goal is
not met.
"""

import argparse
import platform
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from pathlib import Path

import pandas as pd

from etl.load import load
from tests.ask import run
from tests.bench.drawn_diagnoses import drawn_shop, loaded, truth_of
from tests.bench.results import RESULTS, write_section
from tests.evidence.truth import judged_parts, precision_and_recall, query, tenths, true_components

SHOPS, JOBS, RIGHT = 10, 4_000, (0.70, 0.85, 0.95)
PRECISION, POINTS, COVERED = 0.9, 10, 0.9  # goals
HABITS = ("not_tested", "against", "missed", "several")
JUDGED = """
SELECT job_id, appliance_kind, symptom, is_wrong, is_not_tested AS not_tested,
    is_against AS against, is_missed AS missed, is_several AS several,
FROM core.patterns_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, 30, NULL)
WHERE is_wrong IS NOT NULL
"""


def true_ratio(jobs: pd.DataFrame, habit: str) -> float:
    """Return the Mantel–Haenszel risk ratio of being wrong in truth with and without a habit."""
    asked = jobs[jobs[habit].notna()].assign(habit=lambda rows: rows[habit].astype(bool))
    counts = asked.groupby(["appliance_kind", "symptom", "habit"])["wrong"].agg(["sum", "size"])
    wide = counts.unstack("habit", fill_value=0).reindex(
        columns=[(name, flag) for name in ("sum", "size") for flag in (True, False)], fill_value=0
    )
    n1, n0 = wide["size", True], wide["size", False]
    above = (wide["sum", True] * n0 / (n1 + n0)).sum()
    below = (wide["sum", False] * n1 / (n1 + n0)).sum()
    return float(above / below) if below else float("nan")


def one_shop(seed: int, size: int, right: float) -> tuple[pd.DataFrame, ...]:
    """Return the shop's parts with their truth, its judged jobs with theirs, and its habits."""
    shop, wrong = drawn_shop(seed, size, right)
    with tempfile.TemporaryDirectory() as scratch:
        folder = loaded(shop, Path(scratch) / "db")
        parts = judged_parts(folder, true_components(truth_of(shop)))
        jobs = query(folder, JUDGED)
        habits = run(folder, "pages/habits", window_days=30)
    numbers = jobs["job_id"].str.extract(r"(\d+)$")[0]
    return parts, jobs.assign(wrong=numbers.map(wrong).fillna(False).astype(bool)), habits


@dataclass(frozen=True)
class Share:
    """What the shops of one share of right diagnoses showed; `covers`: intervals that hold truth."""

    line: str
    habits: list[str]
    precision: float
    of_parts: float
    widest: float
    covers: int
    intervals: int


def missed(shares: Sequence[Share]) -> list[str]:
    """Return the goals that are not met, in words (measures: proof of wrong diagnoses)."""
    held = sum(share.covers for share in shares) / max(sum(s.intervals for s in shares), 1)
    goals = {
        "precision of the wrong-diagnosis rate at least 90%": min(s.precision for s in shares)
        >= PRECISION,
        "precision of parts at least 90%": min(s.of_parts for s in shares) >= PRECISION,
        "printed chance within 10 points in every tenth": max(s.widest for s in shares) <= POINTS,
        "true ratio of a habit in at least 90% of intervals": held >= COVERED,
    }
    return [goal for goal, is_met in goals.items() if not is_met]


def of_share(right: float, shops: int, size: int) -> Share:
    """Return what the shops of one share of right diagnoses show."""
    drawn = []
    for seed in range(shops):
        drawn.append(one_shop(seed, size, right))
        print(f"right {right:.0%}: shop {seed + 1} of {shops}", file=sys.stderr, flush=True)
    parts, jobs = (pd.concat([each[place] for each in drawn]) for place in (0, 1))
    seen = jobs["is_wrong"].astype(bool)
    precision, recall = (seen & jobs["wrong"]).sum() / pd.Series([seen.sum(), jobs["wrong"].sum()])
    of_parts, widest = precision_and_recall(parts)[0], _widest(tenths(parts))
    gaps = [_widest(tenths(each[0])) for each in drawn]
    line = (
        f"| {right:.0%} | {len(jobs):,} | {jobs['wrong'].mean():.1%} | {seen.mean():.1%} "
        f"| {precision:.0%} | {recall:.0%} | {of_parts:.0%} | {widest:.1f} "
        f"| {sum(gaps) / len(gaps):.1f} |"
    )
    shown = [each[2] for each in drawn]
    known = [intervals(habit, true_ratio(jobs, habit), shown) for habit in HABITS]
    habits = [
        _habit_row(right, habit, true_ratio(jobs, habit), rows)
        for habit, rows in zip(HABITS, known, strict=True)
        if len(rows)
    ]
    covers = sum(int(rows["covers"].sum()) for rows in known)
    return Share(line, habits, precision, of_parts, widest, covers, sum(map(len, known)))


def _widest(table: pd.DataFrame) -> float:
    """Return the widest gap between printed chance and true share of any tenth, in points."""
    return float((table["chance"] - table["right"]).abs().max() * 100)


def intervals(habit: str, ratio: float, shops: list[pd.DataFrame]) -> pd.DataFrame:
    """Return the habit's row of each shop that has an interval, with `covers`: it holds `ratio`."""
    rows = pd.DataFrame([each.set_index("habit").loc[habit] for each in shops if len(each)])
    known = rows[rows["low"].notna() & (rows["n_with"] > 0)]
    return known.assign(covers=(known["low"] <= ratio) & (ratio <= known["high"]))


def _habit_row(right: float, habit: str, ratio: float, known: pd.DataFrame) -> str:
    return (
        f"| {right:.0%} | {habit} | {known['n_with'].mean():.0f} | {ratio:.2f} "
        f"| {known['ratio'].median():.2f} | {known['covers'].sum()} of {len(known)} "
        f"({known['covers'].mean():.0%}) |"
    )


def of_sample() -> str:
    """Return how the outcomes of the sample shop agree with its truth.csv, as a sentence."""
    sample = Path(str(files("sample_data")))
    truth = pd.read_csv(sample / "truth.csv", dtype=str)
    with tempfile.TemporaryDirectory() as scratch:
        load([sample], Path(scratch) / "db")
        parts = judged_parts(Path(scratch) / "db", true_components(truth[truth["record"] == "job"]))
    precision, recall = precision_and_recall(parts)
    return (
        f"Sample shop, {len(parts):,} judged parts: {precision:.0%} of those flagged by outcomes "
        f"were wrong, {recall:.0%} of the wrong ones are flagged; widest gap of a tenth between "
        f"printed chance and true share {_widest(tenths(parts)):.1f} points."
    )


def main() -> None:
    """Run every share, write the tables, and with --check fail where a goal is not met."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.verdicts")
    parser.add_argument("shops", type=int, nargs="?", default=SHOPS)
    parser.add_argument("jobs", type=int, nargs="?", default=JOBS)
    parser.add_argument("--check", action="store_true", help="fail where a goal is not met")
    chosen = parser.parse_args()
    shops, size = chosen.shops, chosen.jobs
    start = time.monotonic()
    found = [of_share(right, shops, size) for right in RIGHT]
    not_met = missed(found)
    lines = [
        f"{shops} shops of {size:,} jobs for each share, seeds from 0; each chance of an outside "
        "reading moved by N(0, 0.7) on the logit scale; a quarter of the jobs without a test, "
        f"wrong twice as often. {date.today()}, Python {platform.python_version()}, "
        f"{time.monotonic() - start:.0f} s.",
        "",
        "| right | judged jobs | wrong in truth | seen | precision | recall | precision of parts "
        "| widest gap of a tenth, points | mean over single shops |",
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- |",
        *(share.line for share in found),
        "",
        "| right | habit | jobs a shop | true ratio | median ratio | intervals that cover it |",
        "| --- | --- | --- | --- | --- | --- |",
        *(row for share in found for row in share.habits),
        "",
        of_sample(),
        "",
        f"Goals not met: {'; '.join(not_met) or 'none'}.",
    ]
    write_section("Verdicts on diagnoses in simulated shops", lines)
    print(RESULTS.read_text(encoding="utf-8"))
    if chosen.check and not_met:
        sys.exit(f"not met: {'; '.join(not_met)}")


if __name__ == "__main__":
    main()
