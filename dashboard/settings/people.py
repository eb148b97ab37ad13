"""Who may sign in, and as what: the table [people] of the shop's settings."""

from dataclasses import dataclass
from typing import Any

from dashboard.access.policy import LEAD, OWNER, PRICING, TECHNICIAN, folded
from dashboard.settings.types import Setting, SettingsError

Person = str | dict[str, str]  # a role, or { technician = "the name in the records" }


@dataclass(frozen=True)
class PeopleSetting(Setting):
    """E-mail addresses, each with a role, or with the name of a technician."""

    def check(self, value: Any, where: str) -> dict[str, Person]:
        """Return the people as written; raise SettingsError that names the key."""
        if not isinstance(value, dict):
            raise SettingsError(f"{where}: key {self.key} is {value!r}; wanted {self.wanted}")
        for email, person in value.items():
            is_address = "@" in email and email.isprintable()
            if not is_address or not (person in (OWNER, LEAD, PRICING) or _is_technician(person)):
                told = f"{where}: key {self.key}, {email!r} = {person!r}; wanted {self.wanted}"
                raise SettingsError(told)
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
