"""What a setting is: its key, unit, default and bounds, and what it refuses."""

from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from itertools import pairwise
from math import ceil, floor, inf
from typing import Annotated, Any

from pydantic import Field, StrictFloat, StrictInt, TypeAdapter, ValidationError

from dashboard.errors import UserError
from etl.folder.errors import shown_value


class SettingsError(UserError):
    """A settings file that cannot be used; the message names the file and the key."""


@cache
def _number(low: float | None, high: float | None) -> TypeAdapter[Any]:
    """Return what takes a finite number within bounds; True and False are none."""
    bounds = Field(ge=low, le=high, allow_inf_nan=False)
    whole = Field(ge=None if low is None else ceil(low), le=None if high is None else floor(high))
    return TypeAdapter(Annotated[StrictInt, whole] | Annotated[StrictFloat, bounds])


MOST_CHARACTERS = 80
_PAIRS = TypeAdapter(list[tuple[StrictInt | StrictFloat, StrictInt | StrictFloat]])


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
        wanted = f"{where}: key {self.key} is {shown_value(value)}; wanted {self.wanted}"
        if self.unit == "date":
            if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
                return value
            raise SettingsError(wanted)
        try:
            number = _number(self.low, self.high).validate_python(value)
        except ValidationError:
            raise SettingsError(wanted) from None
        if isinstance(self.default, int) and number != int(number):
            raise SettingsError(wanted)
        return type(self.default)(number)

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        if self.unit == "date":
            return "a date such as 2026-10-31"
        kind = "a whole number" if isinstance(self.default, int) else "a number"
        return f"{kind} from {self.low:g} to {self.high:g} ({self.unit})"


@dataclass(frozen=True)
class TextSetting(Setting):
    """One line of text; empty where nothing was chosen."""

    def check(self, value: Any, where: str) -> str:
        """Return the text without outer spaces; raise SettingsError that names the key."""
        if not isinstance(value, str) or not value.isprintable() or len(value) > MOST_CHARACTERS:
            raise SettingsError(
                f"{where}: key {self.key} is {shown_value(value)}; wanted {self.wanted}"
            )
        return value.strip()

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        return f"one line of text, at most {MOST_CHARACTERS} characters"


@dataclass(frozen=True)
class ChoiceSetting(Setting):
    """One of a few words."""

    choices: tuple[str, ...] = ()

    def check(self, value: Any, where: str) -> str:
        """Return the word when it is one of the choices; raise SettingsError that names the key."""
        if value not in self.choices:
            raise SettingsError(
                f"{where}: key {self.key} is {shown_value(value)}; wanted {self.wanted}"
            )
        return str(value)

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        return " or ".join(f'"{each}"' for each in self.choices)


@dataclass(frozen=True)
class SlabsSetting(Setting):
    """How parts are marked up: pairs [up to this part cost, factor], the last without end.

    No pair at all: parts take the target margin like everything else.
    """

    def check(self, value: Any, where: str) -> tuple[tuple[float, float], ...]:
        """Return the slabs as pairs; raise SettingsError that names the key."""
        problem = SettingsError(
            f"{where}: key {self.key} is {shown_value(value)}; wanted {self.wanted}"
        )
        try:
            written = _PAIRS.validate_python(value)
            pairs = [(float(edge), float(factor)) for edge, factor in written]
        except (ValidationError, OverflowError):
            raise problem from None
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
