"""The common filters of measures and pages, and the columns to group by."""

from dataclasses import dataclass, fields
from datetime import date
from typing import Any

GROUPS = ("month", "technician", "branch", "appliance_kind", "symptom", "repair_code", "cause")


@dataclass(frozen=True)
class Filters:
    """The common filters; an empty tuple or None means all. Both days belong to the period."""

    from_date: date | None = None
    to_date: date | None = None
    branch: tuple[str, ...] = ()
    technician: tuple[str, ...] = ()
    appliance_kind: tuple[str, ...] = ()
    symptom: tuple[str, ...] = ()

    def parameters(self) -> dict[str, Any]:
        """Return the filters as query parameters."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return {k: list(v) if isinstance(v, tuple) else v for k, v in values.items()}
