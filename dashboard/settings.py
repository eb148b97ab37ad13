"""The shop's settings: every key with its unit, default and bounds; read from ohmhours.toml."""

import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

FILE = "ohmhours.toml"
DATABASE = "OHMHOURS_DB"  # environment variable: the folder that the pages read


class SettingsError(Exception):
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
        if isinstance(self.default, date) or self.unit == "date":
            if value is None or isinstance(value, date):
                return value
            raise SettingsError(wanted)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
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
class SupplySetting(Setting):
    """The service voltage: one for the shop, or a table of branches (others keep the default)."""

    def check(self, value: Any, where: str) -> Any:
        """Return the volts, or the volts by branch; raise SettingsError that names the key."""
        if isinstance(value, dict):
            return {name: self.check(v, f"{where}, branch {name}") for name, v in value.items()}
        if value not in SERVICE_VOLTS or isinstance(value, bool):
            raise SettingsError(f"{where}: key {self.key} is {value!r}; wanted 208, 230 or 240")
        return int(value)


SERVICE_VOLTS = (208, 230, 240)
SETTINGS = (
    Setting(
        "as_of",
        None,
        "date",
        "last day that the records speak of; without it the latest date in any loaded record",
    ),
    Setting(
        "callback_window_days",
        30,
        "days",
        "a return within this many days counts against the earlier job",
        1,
        365,
    ),
    SupplySetting(
        "service_volts",
        240,
        "V",
        "service voltage leg to leg (230: line to neutral); a table of branches where they differ",
    ),
    Setting("min_jobs", 20, "jobs", "a rate over fewer jobs is marked “too few jobs”", 1, 1000),
)


def read_settings(folder: Path) -> dict[str, Any]:
    """Return every setting, defaults where ohmhours.toml in the folder is silent or missing.

    Raises SettingsError with the file and the key for an unknown key or a wrong value.
    """
    values = {setting.key: setting.default for setting in SETTINGS}
    path = folder / FILE
    if not path.is_file():
        return values
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise SettingsError(f"{FILE}: not a TOML file ({error}); mend that line") from None
    known = {setting.key: setting for setting in SETTINGS}
    for key, value in content.items():
        if key not in known:
            raise SettingsError(f"{FILE}: unknown key {key}; known: {', '.join(sorted(known))}")
        values[key] = known[key].check(value, FILE)
    return values


def for_load(settings: dict[str, Any]) -> dict[str, str]:
    """Return the settings that the load itself uses, as text."""
    chosen = {"as_of": str(settings["as_of"])} if settings["as_of"] else {}
    supply = settings.get("service_volts", 240)
    if isinstance(supply, dict):
        return chosen | {f"service_volts: {name}": str(volts) for name, volts in supply.items()}
    return chosen | {"service_volts": str(supply)}
