"""What a setting is: its key, unit, default and bounds, and what it refuses."""

from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from math import inf, isfinite
from typing import Any

from dashboard.errors import UserError


class SettingsError(UserError):
    """A settings file that cannot be used; the message names the file and the key."""


@dataclass(frozen=True)
class Setting:
    """One setting: a number between `low` and `high`, or a date."""

    key: str
    default: Any
    unit: str
    meaning: str
    low: float | None = None
    high: float | None = None

    def check(self, value: Any, where: str) -> Any:
        """Return the value when it may be used; raise SettingsError that names the key."""
        wanted = f"{where}: key {self.key} is {value!r}; wanted {self.wanted}"
        if self.unit == "date":
            if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
                return value
            raise SettingsError(wanted)
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
            raise SettingsError(wanted)
        if isinstance(self.default, int) and value != int(value):
            raise SettingsError(wanted)
        if (self.low is not None and value < self.low) or (
            self.high is not None and value > self.high
        ):
            raise SettingsError(wanted)
        return type(self.default)(value)

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        if self.unit == "date":
            return "a date such as 2026-10-31"
        kind = "a whole number" if isinstance(self.default, int) else "a number"
        return f"{kind} from {self.low:g} to {self.high:g} ({self.unit})"


@dataclass(frozen=True)
class SlabsSetting(Setting):
    """How parts are marked up: pairs [up to this part cost, factor], the last without end.

    No pair at all: parts take the target margin like everything else.
    """

    def check(self, value: Any, where: str) -> tuple[tuple[float, float], ...]:
        """Return the slabs as pairs; raise SettingsError that names the key."""
        problem = SettingsError(f"{where}: key {self.key} is {value!r}; wanted {self.wanted}")
        if not isinstance(value, (list, tuple)):
            raise problem
        pairs = []
        for pair in value:
            if not isinstance(pair, (list, tuple)) or len(pair) != 2:
                raise problem
            if any(isinstance(x, bool) or not isinstance(x, (int, float)) for x in pair):
                raise problem
            pairs.append((float(pair[0]), float(pair[1])))
        edges = [0.0, *(edge for edge, _ in pairs)]
        is_rising = all(a < b for a, b in pairwise(edges))
        factors_hold = all(1 <= factor <= 20 for _, factor in pairs)
        if pairs and not (is_rising and factors_hold and edges[-1] == inf):
            raise problem
        return tuple(pairs)

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        return (
            "pairs such as [[10, 3.0], [50, 2.0], [inf, 1.6]]: rising part costs, the last inf, "
            "each with a factor from 1 to 20; or [] for none"
        )
