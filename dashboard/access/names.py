"""What a reader sees of the rows: his own figures, and aliases where names are not his to see."""

import hmac
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

import pandas as pd

from dashboard.access.page_roles import TECHNICIAN
from dashboard.access.reader import Reader, Refused
from etl.folder.shop_key import KeyFileError, unit_key

LISTS = ("group", "value")  # columns that list people: in the order of names they would betray them


@dataclass(frozen=True)
class Sight:
    """How one reader sees the rows of one version; `aliases` (name → alias) may be empty."""

    reader: Reader
    aliases: Mapping[str, str]

    def asked(self, parameters: Mapping[str, Any]) -> dict[str, Any]:
        """Return the parameters of a query as this reader may ask them.

        Aliases become names, and a technician asks of himself only. Raises Refused for a name that
        the reader may not see: its figures would reveal whose alias it is.
        """
        asked = dict(parameters)
        if self.reader.role == TECHNICIAN:
            asked[TECHNICIAN] = [self.reader.technician]
        elif asked.get(TECHNICIAN):
            asked[TECHNICIAN] = [self._name(each) for each in asked[TECHNICIAN]]
        if asked.get("group_by") == TECHNICIAN and asked.get("group_value"):
            asked["group_value"] = self._name(asked["group_value"])
        return asked

    def shown(self, table: pd.DataFrame) -> pd.DataFrame:
        """Return the table with every cell that is a technician's name replaced by the alias."""
        for column in table.select_dtypes(include=["object", "string"]):
            is_name = table[column].isin(list(self.aliases))
            if is_name.any():
                is_listed = column in LISTS and table.loc[is_name, column].is_monotonic_increasing
                table[column] = table[column].replace(dict(self.aliases))
                if is_listed:
                    ordered = table[is_name].sort_values(str(column), kind="stable")
                    table.loc[is_name] = ordered.set_axis(table.index[is_name])
        return table

    def _name(self, seen: str) -> str:
        names = {alias: name for name, alias in self.aliases.items()}
        if seen in self.aliases:
            raise Refused(f"“{seen}” is not a name that you may ask for. Choose one from the list.")
        return names.get(seen, seen)


def sight_of(reader: Reader, folder: Path, names: Callable[[], Iterable[str]]) -> Sight:
    """Return how the reader sees the rows of a database folder in which these names stand.

    Raises Refused when the key is damaged by which the aliases are given.
    """
    if reader.sees_names:
        return Sight(reader, {})
    try:
        return Sight(reader, aliases(names(), unit_key(folder), reader.technician))
    except KeyFileError as problem:
        raise Refused(str(problem)) from None


def aliases(names: Iterable[str], secret: bytes, own: str | None = None) -> dict[str, str]:
    """Return “Technician A”, “Technician B” … for each name but one's own.

    The order is that of a keyed hash: neither the alphabet nor the code reveals who is A; only who
    has the shop's secret can. No alias is a name of the list; no name gives none. HMAC-SHA256.
    """
    known = set(names)
    ordered = sorted(known, key=lambda name: hmac.digest(secret, name.encode(), "sha256"))
    free = (label for label in map(_label, count()) if label not in known)
    given = dict(zip(ordered, free, strict=False))
    return {name: alias for name, alias in given.items() if name != own}


def _label(place: int) -> str:
    """Return Technician A to Z, then AA, AB …, as columns of a spreadsheet are lettered."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"Technician {letters}"
