"""Every setting of a shop: key, unit, default, bounds, meaning.

Defaults of pricing only show the arithmetic: the shop puts in its own. The default wage, burden,
hours and overhead are a worked example of the trade (common practice, no source), as are the tiers:
none of them is advice.
"""

from dataclasses import dataclass
from math import inf
from typing import Any

from dashboard.access.page_roles import LEAD, OWNER, TECHNICIAN
from dashboard.access.page_roles import PRICING as PRICER
from dashboard.access.reader import folded
from dashboard.settings.types import (
    ChoiceSetting,
    Setting,
    SettingsError,
    SlabsSetting,
    TextSetting,
)
from etl.folder.errors import shown_value

Person = str | dict[str, str]  # a role, or { technician = "the name in the records" }


@dataclass(frozen=True)
class PeopleSetting(Setting):
    """E-mail addresses, each with a role, or with the name of a technician."""

    def check(self, value: Any, where: str) -> dict[str, Person]:
        """Return the people as written; raise SettingsError that names the key."""
        if not isinstance(value, dict):
            found = f"{where}: key {self.key} is {shown_value(value)}"
            raise SettingsError(f"{found}; wanted {self.wanted}")
        for email, person in value.items():
            is_address = "@" in email and email.isprintable()
            if not is_address or not (person in (OWNER, LEAD, PRICER) or _is_technician(person)):
                found = f"{shown_value(email)} = {shown_value(person)}"
                raise SettingsError(f"{where}: key {self.key}, {found}; wanted {self.wanted}")
        if len({folded(email) for email in value}) < len(value):
            raise SettingsError(f"{where}: key {self.key} lists an address twice; leave one out")
        return value

    @property
    def wanted(self) -> str:
        """Say in words what the setting accepts."""
        return (
            'e-mail addresses, each = "owner", "lead", "pricing" or '
            '{ technician = "the name in the records" }'
        )


def _is_technician(person: Any) -> bool:
    """Say whether this is a table of one technician's name and nothing else."""
    name = person.get(TECHNICIAN) if isinstance(person, dict) and len(person) == 1 else None
    return isinstance(name, str) and name.strip() != "" and name.isprintable()


PEOPLE = (
    PeopleSetting("people", {}, "e-mail and role", "who may sign in, and what each of them sees"),
)
PRICING = (
    Setting("wage_per_hour", 32.0, "money per paid hour", "a technician's wage", 0, 1000),
    Setting("burden_rate", 0.25, "fraction of the wage", "taxes, insurance, benefits on top", 0, 3),
    Setting(
        "paid_hours", 2080.0, "hours per year", "hours paid to one technician in a year", 1, 8784
    ),
    Setting(
        "billable_share",
        0.577,
        "fraction of paid hours",
        "hours on jobs and driving to them, of the hours paid; 1 would be every paid minute",
        0.05,
        1,
    ),
    Setting(
        "overhead_per_technician",
        48_000.0,
        "money per year",
        "rent, vans, office, insurance, for one technician",
        0,
        1_000_000,
    ),
    Setting("target_margin", 0.15, "fraction of the price", "what is left after all costs", 0, 0.9),
    Setting(
        "planned_quantile", 0.75, "fraction of jobs", "jobs finished in the planned time", 0.5, 0.95
    ),
    Setting("price_step", 5.0, "money", "a price is rounded up to a multiple (0: not)", 0, 1000),
    Setting(
        "trip_cost", 0.0, "money per trip", "cost of the trip in addition to the time", 0, 1000
    ),
    Setting("travel_minutes", 25.0, "minutes per trip", "used where no travel is recorded", 0, 600),
    Setting("consumables_cost", 0.0, "money per job", "terminals, tape, tubing, solder", 0, 1000),
    Setting(
        "other_cost_per_job",
        0.0,
        "money per job",
        "any cost of a job not in the labor rate, such as diagnoses that others declined",
        0,
        10_000,
    ),
    SlabsSetting(
        "parts_slabs",
        ((10.0, 3.0), (50.0, 2.0), (inf, 1.6)),
        "pairs of part cost and factor",
        "each slice of a part's cost is multiplied by the factor of its tier",
    ),
    Setting("warranty_days", 90, "days", "a return within them is free to the customer", 0, 365),
    Setting("diagnosis_fee", 95.0, "money", "what a customer pays who declines", 0, 10_000),
)
STOCK = (
    Setting("restock_days", 7, "days", "days between two restocks of a van", 1, 90),
    Setting("van_budget", 5000.0, "money", "trade cost of the parts on one van", 0, 1_000_000),
    Setting("van_slots", 120, "units", "parts that fit into one van", 0, 5000),
)


@dataclass(frozen=True)
class SupplySetting(Setting):
    """The service voltage: one for the shop, or a table of branches (others keep the default)."""

    def check(self, value: Any, where: str) -> Any:
        """Return the volts, or the volts by branch; raise SettingsError that names the key."""
        if isinstance(value, dict):
            return {name: self._volts(v, f"{where}, branch {name}") for name, v in value.items()}
        return self._volts(value, where)

    def _volts(self, value: Any, where: str) -> int:
        if value not in SERVICE_VOLTS or isinstance(value, bool):
            message = f"{where}: key {self.key} is {shown_value(value)}; wanted 208, 230 or 240"
            raise SettingsError(message)
        return int(value)


SERVICE_VOLTS = (208, 230, 240)
BY_CURRENCY = "by currency"
SETTINGS = (
    TextSetting("shop_name", "", "text", "the name of the shop, at the top of the printed month"),
    ChoiceSetting(
        "temperature_unit",
        BY_CURRENCY,
        "F or C",
        "unit of temperatures; by currency: C where every amount is in a currency other than USD",
        choices=(BY_CURRENCY, "F", "C"),
    ),
    Setting(
        "as_of",
        None,
        "date",
        "last day that the records cover; if empty, the latest date in any loaded record",
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
    Setting(
        "wrong_seen_share",
        0.8,
        "fraction of wrong diagnoses",
        "those that a later visit or a callback shows; the other customers never call again",
        0.3,
        1,
    ),
    Setting("baseline_months", 12, "months", "first months, with which each is compared", 1, 120),
    *PRICING,
    *STOCK,
    *PEOPLE,
)
