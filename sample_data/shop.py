"""The invented shop: its people, places, brands, parts and prices. Nothing here exists."""

from dataclasses import dataclass
from datetime import date, timedelta

SHOP = "Lindenholm Appliance Care (invented)"
FIRST_DAY, LAST_DAY = date(2025, 5, 1), date(2026, 10, 31)
LAST_WORKDAY = date(2026, 10, 30)
YEAR_SPLIT = date(2026, 1, 1)
BRANCHES = ("Harbour Street", "Mill Lane")
BRANDS = ("Norvane", "Halbrecht", "Pellworth", "Ardmoor", "Quillane", "Veymar")
MODELS_PER_BRAND = 3
SUPPLIERS = ("Tarnwell Supply", "Brackmoor Parts", "Ostvane & Daughters")
SECOND_SUPPLIER_SHARE, SUPPLIER_UNKNOWN_SHARE = 0.15, 0.08
KINDS = {
    "refrigerator": 0.26,
    "washer": 0.17,
    "dishwasher": 0.13,
    "dryer_electric": 0.15,
    "range_electric": 0.09,
    "dryer_gas": 0.07,
    "room_ac": 0.07,
    "microwave": 0.06,
}
# complaints of each kind, as a phone list has them; each has a chain with weights in sql/lookups
COMPLAINTS = {
    "refrigerator": {
        "warm_fresh_food": 32,
        "not_cooling": 28,
        "no_ice": 14,
        "leaks": 10,
        "no_water": 8,
        "noisy": 8,
    },
    "washer": {
        "wont_drain": 32,
        "wont_spin": 24,
        "wont_fill": 11,
        "leaks": 12,
        "noisy": 8,
        "vibrates": 7,
        "wont_start": 6,
    },
    "dishwasher": {
        "wont_drain": 33,
        "poor_wash": 25,
        "leaks": 15,
        "wont_start": 12,
        "wont_dry": 10,
        "noisy": 5,
    },
    "dryer_electric": {
        "long_dry": 27,
        "no_heat": 26,
        "wont_start": 24,
        "wont_turn": 13,
        "noisy": 10,
    },
    "range_electric": {"oven_no_bake": 58, "burner_no_heat": 28, "oven_temp_off": 14},
    "dryer_gas": {"long_dry": 27, "wont_start": 22, "no_heat": 26, "wont_turn": 15, "noisy": 10},
    "room_ac": {"not_cooling": 66, "leaks": 13, "wont_start": 12, "noisy": 9},
    "microwave": {"no_heat": 52, "wont_start": 34, "turntable_stuck": 14},
}
# how often each month of the year against the mean month; kinds that are not named: all alike
WINTER = (1.35, 1.3, 1.15, 1.0, 0.85, 0.75, 0.7, 0.75, 0.9, 1.0, 1.15, 1.3)
SUMMER = (0.8, 0.8, 0.85, 0.95, 1.1, 1.25, 1.35, 1.3, 1.1, 0.95, 0.85, 0.8)
SEASONS = {
    "room_ac": (0.08, 0.08, 0.15, 0.5, 1.5, 2.5, 3.0, 2.4, 1.2, 0.35, 0.12, 0.08),
    "refrigerator": SUMMER,
    "dryer_electric": WINTER,
    "dryer_gas": WINTER,
    "range_electric": WINTER,
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
GUESSING_TECHNICIAN = "Brenwick"
GUESSED_COMPONENT, GUESS_SHARE = "control_board", 0.4
EARLY_PART_COMPONENT = ("refrigerator", "evaporator_fan")
EARLY_PART_SHARE, EARLY_FAILURE = 0.6, 0.65
RIVAL_SHARE = 0.4  # of jobs left close: the other part goes in on the same visit, to be safe
VAN, BAD_MONTH, BAD_MONTH_VAN = 0.82, (2026, 3), 0.3
# a test of the register that this shop never makes, by complaint: no shop makes them all
NEVER_MADE = {("range_electric", "burner_no_heat"): ("supply_l1_l2_v",)}
POOR_ORDER = ("washer", "wont_drain")
UNDER_COST = (
    ("washer", "replace_drain_pump_washer"),
    ("dishwasher", "replace_drain_pump_dw"),
)
UNDER_COST_FACTOR = 0.45


# two changes that the shop made and noted; only the first one did what it was made for
KIT_DAY, VAN_WITH_KIT = date(2026, 4, 6), 0.93
CHANGES = (
    {
        "plant": "kit_on_vans",
        "changed_on": KIT_DAY,
        "measure": "repeat visits: part needed",
        "effect": VAN_WITH_KIT - VAN,
        "detail": "a kit of the parts that were missing most in March put on every van",
    },
    {
        "plant": "model_asked_on_the_phone",
        "changed_on": date(2025, 11, 3),
        "measure": "first-time fix",
        "effect": 0.0,
        "detail": "the office of Mill Lane asks for the model number when the call is taken; "
        "nothing changed",
    },
)


def workday(day: date) -> date:
    """Return the day, or the Monday after it for a Saturday or Sunday."""
    return day + timedelta(days=max(0, 7 - day.weekday()) if day.weekday() >= 5 else 0)


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
    Technician("Brenwick", BRANCHES[0], 0.90, 0.95, "M-2"),
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
