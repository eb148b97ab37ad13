"""One technician's figures → what goes well, up to three patterns, their most telling jobs."""

from collections.abc import Collection
from dataclasses import dataclass
from math import sqrt

import numpy as np
import pandas as pd

from dashboard.evidence.chance import PartChance
from dashboard.rows import Row, each_row

MOST_PATTERNS, TELLING = 3, 3
OUTSIDE = ("different", "look")  # verdicts beyond 99.8% and 95%
OF_PATTERN = {"not_tested": "not tested", "against": "against"}  # the evidence that a habit means


@dataclass(frozen=True)
class Counted:
    """How often a pattern shows, against what is expected of the same work without him."""

    pattern: str | None
    shown: int
    asked: int
    expected: float
    verdict: str

    @property
    def distance(self) -> float:
        """Return the distance from the expected count in standard deviations of a count."""
        return (self.shown - self.expected) / sqrt(self.expected) if self.expected > 0 else 0.0


def counted(pattern: str | None, table: pd.DataFrame, least: int) -> Counted | None:
    """Return the one row of misdiagnosis by technician; None where nothing can be said."""
    if table.empty or not table["asked"].iloc[0] or pd.isna(table["expected"].iloc[0]):
        return None
    row: Row = table.iloc[0]
    few = row.asked < least
    verdict = "too few" if few or pd.isna(row.funnel) else str(row.funnel)
    return Counted(pattern, int(row.with_pattern), int(row.asked), float(row.expected), verdict)


def standing_out(found: list[Counted]) -> list[Counted]:
    """Return the patterns that show more often than expected, the clearest first, three at most."""
    more = [each for each in found if each.verdict in OUTSIDE and each.shown > each.expected]
    return sorted(more, key=lambda each: -each.distance)[:MOST_PATTERNS]


def going_well(found: list[Counted]) -> list[Counted]:
    """Return the patterns that show less often than expected, the clearest first."""
    less = [each for each in found if each.verdict in OUTSIDE and each.shown < each.expected]
    return sorted(less, key=lambda each: each.distance)


def telling(
    pattern: str | None, parts: pd.DataFrame, chance: PartChance, listed: Collection[str] = ()
) -> pd.DataFrame:
    """Return the three most telling jobs of a pattern, the newest first, with the part's chance.

    `parts`: rows of pages/card_parts. Of a job the part counts that the pattern is about, of
    several the least likely. Most telling: an outcome that was wrong, then the least likely part.
    A talk begins with what is remembered best, hence the newest first.
    Jobs `listed` before, under another pattern, are left out.
    """
    rows = parts[~parts["job_id"].isin(list(listed))].assign(chance=np.nan)
    known = rows["log_odds"].notna()
    if known.any():
        rows.loc[known, "chance"] = chance.of(rows[known])
    if pattern in OF_PATTERN:
        rows = rows[rows["evidence"] == OF_PATTERN[str(pattern)]]
    rows = rows.assign(is_right=~(rows["is_wrong"].astype(object) == True))  # noqa: E712
    ordered = rows.sort_values(
        ["is_right", "chance", "closed_on", "job_id"],
        ascending=[True, True, False, True],
        na_position="last",
    )
    chosen = ordered.drop_duplicates("job_id").head(TELLING)
    newest = chosen.sort_values(["closed_on", "job_id"], ascending=[False, True])
    return newest.reset_index(drop=True)


def supported(parts: pd.DataFrame) -> tuple[int, int]:
    """Return the replaced parts that readings speak for, and all that a test can see fail."""
    testable = parts[parts["evidence"].notna() & (parts["evidence"] != "no test")]
    return int((testable["evidence"] == "supported").sum()), len(testable)


def flagged(checks: pd.DataFrame, technician: str) -> list[Row]:
    """Return the rows of the meter check that name this technician's meter."""
    own = checks[(checks["technician"] == technician) & checks["flagged"].astype(bool)]
    return list(each_row(own))
