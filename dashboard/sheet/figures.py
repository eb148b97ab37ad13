"""What a complaint sheet is about, its numbers, and the sheet itself in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from dashboard.diagnosis.bench_card_html import Card, CardLine
from dashboard.sheet.compute import Causes, PartShare
from dashboard.stats.durations.lognormal import PlannedMinutes


@dataclass(frozen=True)
class Subject:
    """What a sheet is about: a complaint on a kind, in one brand and model if they are named."""

    kind: str
    complaint: str
    brand: str | None = None
    model: str | None = None

    @property
    def is_whole_kind(self) -> bool:
        return self.brand is None and self.model is None

    @property
    def name(self) -> str:
        """Return brand and model as one name; empty for the whole kind."""
        return " ".join(each for each in (self.brand, self.model) if each)


@dataclass(frozen=True)
class Figures:
    """The numbers of a sheet, before words. `card` None: no test is listed for the complaint."""

    causes: Causes | None
    card: Card | None
    parts: Sequence[PartShare]
    has_near_parts: bool
    minutes: PlannedMinutes | None
    quantile: float
    repairs: pd.DataFrame
    jobs: pd.DataFrame
    last_jobs: pd.DataFrame
    window_days: int
    as_of: date
    currency: str | None


@dataclass(frozen=True)
class Sheet:
    """A sheet in words, and the last jobs as rows for the page."""

    title: str
    basis: str
    is_general: bool
    causes: tuple[tuple[str, str, str], ...]
    has_tests: bool
    lines: tuple[CardLine, ...]
    before_closing: tuple[str, ...]
    parts: tuple[str, ...]
    plan: tuple[str, ...]
    came_back: str
    jobs: tuple[str, ...]
    remarks: tuple[CardLine, ...]
    last_jobs: pd.DataFrame
