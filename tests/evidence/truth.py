"""Replaced parts of a shop whose truth is known: what was printed of them, and what they were."""

from pathlib import Path

import numpy as np
import pandas as pd

from dashboard.database.connection import connection
from dashboard.database.snapshot import take
from dashboard.evidence.chance import part_chance

SEEN = 0.8  # default of the setting wrong_seen_share
PARTS = """
SELECT
    evidence.job_id, evidence.component, evidence.appliance_kind, evidence.log_ratio,
    evidence.log_odds, evidence.is_second, evidence.evidence,
    NOT (jobs.is_wrong AND evidence.is_other) AS held,
FROM core.patterns_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, 30, NULL) AS jobs
INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
WHERE jobs.is_wrong IS NOT NULL
    AND evidence.log_ratio IS NOT NULL
    AND (jobs.is_wrong OR NOT evidence.is_other)
"""


def query(folder: Path, text: str) -> pd.DataFrame:
    """Return the rows of a query on a database folder."""
    return connection(take(folder).version).cursor().execute(text).df()


def true_components(truth: pd.DataFrame) -> pd.Series:
    """Return the true component by job number; of rows as sample_data writes them."""
    return truth.set_index("job_id")["true_component"]


def judged_parts(folder: Path, truth: pd.Series) -> pd.DataFrame:
    """Return the parts of judged jobs with `chance` (as printed), `held` and `is_right`.

    A part is right when the true cause's component is it, or one that it is a companion of.
    """
    parts = query(folder, PARTS)
    pairs = query(folder, "SELECT appliance_kind, companion, component FROM core.companions")
    companions = set(pairs.itertuples(index=False, name=None))
    number = parts["job_id"].str.extract(r"(\d+)$")[0]
    true = number.map(truth)
    assert true.notna().all()
    parts["is_right"] = [
        part == cause or (kind, part, cause) in companions
        for kind, part, cause in zip(parts["appliance_kind"], parts["component"], true, strict=True)
    ]
    keys = ["log_ratio", "log_odds", "is_second"]
    counted = parts.groupby(keys, as_index=False).agg(parts=("held", "size"), held=("held", "sum"))
    parts["chance"] = part_chance(counted.assign(seen_share=SEEN)).of(parts)
    return parts


def tenths(parts: pd.DataFrame) -> pd.DataFrame:
    """Return tenths of the parts by printed chance: parts, chance, held, right (shares)."""
    tenth = np.floor(parts["chance"].rank(method="first", pct=True) * 10 - 1e-9)
    return parts.groupby(tenth).agg(
        parts=("chance", "size"),
        chance=("chance", "mean"),
        held=("held", "mean"),
        right=("is_right", "mean"),
    )


def precision_and_recall(parts: pd.DataFrame) -> tuple[float, float]:
    """Return the share of flagged parts that were wrong, and of wrong parts that are flagged."""
    flagged, wrong = ~parts["held"].astype(bool), ~parts["is_right"]
    both = (flagged & wrong).sum()
    return both / flagged.sum(), both / wrong.sum()
