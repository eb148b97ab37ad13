"""The unit of temperatures: the shop's setting, else what its currency says."""

from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.settings.definitions import BY_CURRENCY
from dashboard.text.format import CELSIUS, FAHRENHEIT, is_missing, temperatures_in

AMERICAN = "USD"


def use_units(snapshot: Snapshot) -> None:
    """Write temperatures in the shop's unit from here on, in this page run or command."""
    temperatures_in(unit_of(snapshot))


def unit_of(snapshot: Snapshot) -> str:
    """Return "F" or "C": the setting; without one °C where every amount is in another currency."""
    chosen = str(snapshot.settings["temperature_unit"])
    if chosen != BY_CURRENCY:
        return chosen
    row = run(snapshot, "pages/dataset").iloc[0]
    is_foreign = row.currencies == 1 and not is_missing(row.currency) and row.currency != AMERICAN
    return CELSIUS if is_foreign else FAHRENHEIT
