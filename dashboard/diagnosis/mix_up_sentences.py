"""Mix-ups in words: what was taken for what, how often, and the agreement beyond chance."""

from typing import Any

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.rows import Row, each_row
from dashboard.stats.kappa import cohens_kappa
from dashboard.text.format import counted, day, is_missing, percent, rate


def mix_ups(pairs: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return the rows of the measure mix_ups that differ, most jobs first, in words.

    Adds complaint, first, final, mix_up (all three), found, share_words, test, points_to, made.
    """
    wrong = pairs[pairs["first_component"] != pairs["final_component"]].sort_values(
        ["jobs", "appliance_kind", "symptom", "first_component", "final_component"],
        ascending=[False, True, True, True, True],
        ignore_index=True,
    )
    wrong = wrong.assign(
        complaint=_complaints(wrong, labels),
        first=[labels.of("component", each) for each in wrong["first_component"]],
        final=[labels.of("component", each) for each in wrong["final_component"]],
    )
    rows = list(each_row(wrong))
    return wrong.assign(
        mix_up=[_mix_up(row) for row in rows],
        found=[f"{row.jobs:,} of {row.of_jobs:,}" for row in rows],
        share_words=[rate(row.jobs, row.of_jobs, row.low, row.high) for row in rows],
        test=[
            "No listed test" if is_missing(row.telling_test)
            else labels.of("test_point", row.telling_test)
            for row in rows
        ],
        points_to=[_points_to(row) for row in rows],
        made=[_made(row) for row in rows],
    )  # fmt: skip


def _complaints(rows: pd.DataFrame, labels: Labels) -> list[str]:
    return [
        f"{labels.of('appliance_kind', row.appliance_kind)}: "
        f"{labels.of('symptom', row.symptom, row.appliance_kind)}"
        for row in each_row(rows)
    ]


def _mix_up(row: Row) -> str:
    return f"{row.complaint}; {row.first} turned out to be {row.final}"


def _made(row: Row) -> Any:
    return None if is_missing(row.telling_test) else f"{row.test_made:,.0f} of {row.jobs:,}"


def _points_to(row: Row) -> Any:
    if is_missing(row.telling_test):
        return None
    likelier = row.final if row.outside_if_final > row.outside_if_first else row.first
    return (
        f"{likelier} ({percent(row.outside_if_first)} if {row.first}, "
        f"{percent(row.outside_if_final)} if {row.final})"
    )


def most_mistaken(pairs: pd.DataFrame, listed: pd.DataFrame) -> tuple[str, str]:
    """Write how many diagnoses were right, and the most frequent mix-up; `listed`: of mix_ups."""
    n = int(pairs["jobs"].sum())
    right = n - int(listed["jobs"].sum())
    share = f" ({percent(right / n)})" if n else ""
    finding = f"{right:,} of {n:,} diagnoses were right{share}."
    if listed.empty:
        return finding, "No diagnosis turned out wrong."
    top = listed.iloc[0]
    return finding, (
        f"Most frequent mix-up: {top['first']} turned out to be {top.final} ({top.complaint}), "
        f"{top.share_words}."
    )


def mix_up_jobs(jobs: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return rows of pages/mix_up_jobs with complaint, first, final and closed in words."""
    return jobs.assign(
        complaint=_complaints(jobs, labels),
        first=[labels.of("component", each) for each in jobs["first_component"]],
        final=[labels.of("component", each) for each in jobs["final_component"]],
        closed=[day(each) for each in jobs["closed_on"]],
    )


def counted_jobs(jobs: pd.DataFrame) -> str:
    """Write how many jobs a list has and what a click does."""
    return f"{counted(len(jobs), 'job')}. Click a job to open it."


def agreement(matrix: pd.DataFrame, least: int) -> str:
    """Write how many diagnoses of a square matrix were right and how far beyond chance."""
    right, n = sum(int(matrix.loc[c, c]) for c in matrix.index), int(matrix.to_numpy().sum())
    kappa = cohens_kappa(matrix.to_numpy())
    if n < least or kappa.kappa is None:
        return f"{right:,} of {n:,} diagnoses were right, too few jobs to say more."
    beyond = f"kappa {kappa.kappa:.2f}"
    if kappa.low is not None:
        beyond += f" ({kappa.low:.2f}–{kappa.high:.2f})"
    return (
        f"{right:,} of {n:,} diagnoses were right ({percent(right / n)}). Agreement of the first "
        f"diagnosis with the final cause beyond chance: {beyond}; 1 is perfect, 0 is chance."
    )


def not_among_mix_ups(pairs: pd.DataFrame, judged: pd.DataFrame) -> str:
    """Say how the diagnoses listed as pairs go together with all that are judged."""
    counted = int(pairs["jobs"].sum())
    left_out = (0 if judged.empty else int(judged["judged"].iloc[0])) - counted
    if left_out <= 0:
        return "These are all the diagnoses that Misdiagnosis judges."
    return (
        f"Misdiagnosis judges {left_out:,} more: their first part is not recorded, or what they "
        "turned out to be is not settled."
    )
