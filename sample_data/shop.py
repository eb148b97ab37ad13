"""The invented shop: its people, places, brands, parts and prices. Nothing here exists."""

from dataclasses import dataclass
from datetime import date

SHOP = "Lindenholm Appliance Care (invented)"
FIRST_DAY, LAST_DAY = date(2025, 5, 1), date(2026, 10, 31)
YEAR_SPLIT = date(2026, 1, 1)
BRANCHES = ("Harbour Street", "Mill Lane")
BRANDS = ("Norvane", "Halbrecht", "Pellworth", "Ardmoor", "Quillane", "Veymar")
KINDS = {
    "dryer_electric": 0.22,
    "washer": 0.22,
    "refrigerator": 0.17,
    "dishwasher": 0.13,
    "range_electric": 0.09,
    "dryer_gas": 0.07,
    "room_ac": 0.05,
    "microwave": 0.05,
}
ALL_PLANTS = frozenset(
    {
        "meter_reads_high",
        "guessing_technician",
        "early_part",
        "bad_month",
        "poor_order",
        "under_cost",
    }
)

METER_TECHNICIAN, METER_FACTOR = "Osei", 1.08
GUESSING_TECHNICIAN = "Brandt"
GUESSED_COMPONENT, GUESS_SHARE = "control_board", 0.3
EARLY_PART_COMPONENT = ("dryer_electric", "heating_element")
EARLY_PART_SHARE, EARLY_FAILURE = 0.6, 0.55
VAN, BAD_MONTH, BAD_MONTH_VAN = 0.82, (2026, 3), 0.3
POOR_ORDER = ("washer", "wont_drain")
UNDER_COST = (
    ("washer", "replace_drain_pump_washer"),
    ("dishwasher", "replace_drain_pump_dw"),
)
UNDER_COST_FACTOR = 0.45


@dataclass(frozen=True)
class Technician:
    """A technician: `skill` is the chance to weigh the readings rightly, `pace` scales minutes."""

    name: str
    branch: str
    skill: float
    pace: float
    meter: str


TECHNICIANS = (
    Technician("Abara", BRANCHES[0], 0.95, 0.90, "M-1"),
    Technician("Brandt", BRANCHES[0], 0.90, 0.95, "M-2"),
    Technician("Castellan", BRANCHES[0], 0.88, 1.05, "M-3"),
    Technician("Dovrel", BRANCHES[0], 0.92, 1.00, "M-4"),
    Technician("Ekholt", BRANCHES[0], 0.84, 1.15, "M-5"),
    Technician("Marlowe", BRANCHES[1], 0.94, 0.95, "M-6"),
    Technician("Osei", BRANCHES[1], 0.90, 1.00, "M-7"),
    Technician("Petrossian", BRANCHES[1], 0.86, 1.10, "M-8"),
    Technician("Quarles", BRANCHES[1], 0.91, 1.00, "M-9"),
)

FIRST_NAMES = ("Ada", "Bruno", "Celia", "Dario", "Edith", "Farid", "Greta", "Hugo", "Ines", "Jonas")
LAST_NAMES = (
    "Ashdown",
    "Bellweather",
    "Corran",
    "Dunmire",
    "Elstow",
    "Farrow",
    "Garrick",
    "Hollis",
)

LABOUR_RATE, TRIP_MINUTES, PRICE_STEP = 165.0, 60.0, 5
PARTS_SLABS = ((10.0, 3.0), (50.0, 2.2), (150.0, 1.7), (1e9, 1.45))
DIAGNOSTIC_FEE = 95.0


def parts_price(cost: float) -> float:
    """Return what the shop charges for parts of this cost: slabs, so that it always rises."""
    price, below = 0.0, 0.0
    for upper, factor in PARTS_SLABS:
        price += max(0.0, min(cost, upper) - below) * factor
        below = upper
    return price


def flat_price(labour_min: float, part_cost: float, is_under_cost: bool) -> float:
    """Return the shop's price of a repair from its usual minutes and part cost."""
    price = (labour_min + TRIP_MINUTES) / 60 * LABOUR_RATE + parts_price(part_cost)
    if is_under_cost:
        price *= UNDER_COST_FACTOR
    return PRICE_STEP * round(price / PRICE_STEP)
