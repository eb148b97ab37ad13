"""measure(snapshot, "first_time_fix", …) → DataFrame: the measures by name."""

from collections.abc import Callable
from typing import Any

import pandas as pd

from dashboard.database.cache import bytes_of, cached
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.diagnosis import compute as diagnosis
from dashboard.evidence import compute as evidence
from dashboard.fairness import compute as fairness
from dashboard.filters import Filters
from dashboard.power.compute import how_far_to_trust
from dashboard.pricing import rates as pricing
from dashboard.pricing.model_groups import model_groups
from dashboard.pricing.profit_groups import profit_per_hour
from dashboard.pricing.terms import terms_of
from dashboard.readings import compute as readings

MEASURES = (
    "month_review",
    "first_time_fix",
    "callbacks",
    "callback_curve",
    "month_signals",
    "month_reasons",
    "repeat_visits",
    "season",
    "early_parts",
    "parts_credit",
    "root_cause_mix",
    "no_fault_found",
    "misdiagnosis",
    "mix_ups",
    "power_of_tests",
    "order_of_tests",
    "reading_distribution",
    "limit_review",
    "meter_check",
    "flat_rate",
    "model_groups",
    "profit_per_hour",
    "van_stock",
    "how_far_to_trust",
    "change_effect",
    "recording",
)


def _van_stock(table: pd.DataFrame, settings: dict[str, Any]) -> pd.DataFrame:
    from dashboard.van_stock.compute import van_stock  # with an optimizer: a quarter of a second

    return van_stock(table, settings)


# what SQL cannot do: table, rows of other files → table
COMPUTE: dict[str, Callable[..., pd.DataFrame]] = {
    **diagnosis.COMPUTE,
    **evidence.COMPUTE,
    **fairness.COMPUTE,
    **readings.COMPUTE,
}
COMPUTE_BY_SETTINGS: dict[str, Callable[..., pd.DataFrame]] = {  # table, settings → table
    "flat_rate": pricing.flat_rate,
    "model_groups": model_groups,
    "van_stock": _van_stock,
}
MOST_BYTES = 512 * 1024 * 1024  # of cached measures


def measure(
    snapshot: Snapshot, name: str, filters: Filters | None = None, **parameters: Any
) -> pd.DataFrame:
    """Return one measure as a table, columns as in the README.

    `parameters` are those that the measure's SQL names besides the filters: group_by, window_days,
    …; settings have the values of the snapshot unless given here. An empty database gives an empty
    table. Raises access.Refused when the snapshot's reader may not see it.
    """
    table: pd.DataFrame = _computed(snapshot, name, _Chosen(filters or Filters(), parameters))
    return table.copy()


def defaults(snapshot: Snapshot) -> dict[str, Any]:
    """Return what measures take unless it is given: settings, and what follows from them."""
    return {
        **snapshot.settings,
        "window_days": snapshot.window_days,
        "slabs": snapshot.slabs,
        "labour_per_hour": terms_of(snapshot.settings).labour_per_hour,
        "use_recorded": False,
    }


class _Chosen:
    """Filters and parameters of a measure as a part of a cache key."""

    def __init__(self, filters: Filters, parameters: dict[str, Any]) -> None:
        self.filters, self.parameters = filters, parameters
        self._key = (filters, repr(sorted(parameters.items())))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Chosen) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@cached(MOST_BYTES, bytes_of)
def _computed(snapshot: Snapshot, name: str, chosen: _Chosen) -> pd.DataFrame:
    """Return the measure completed by what SQL cannot do; once per snapshot and question."""
    parameters = defaults(snapshot) | chosen.parameters

    def rows(file: str) -> pd.DataFrame:
        return run(snapshot, file, chosen.filters, **parameters)

    table = rows(f"measures/{name}")
    if name == "how_far_to_trust":  # asks other measures, by the shop's settings
        return how_far_to_trust(table, rows, parameters)
    if name == "profit_per_hour":  # of the rows of flat_rate, at the shop's rates
        return profit_per_hour(table, rows, parameters)
    if name in COMPUTE_BY_SETTINGS:
        return COMPUTE_BY_SETTINGS[name](table, parameters)
    return COMPUTE[name](table, rows) if name in COMPUTE else table
