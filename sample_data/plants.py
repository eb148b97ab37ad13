"""The six planted facts: what is wrong in the invented shop on purpose, and how strongly."""

from datetime import date

METER_READS_HIGH = "meter_reads_high"
GUESSING_TECHNICIAN = "guessing_technician"
EARLY_PART = "early_part"
BAD_MONTH = "bad_month"
POOR_ORDER = "poor_order"
UNDER_COST = "under_cost"

# A meter whose ohms have drifted: every resistance of this technician reads too high.
HIGH_METER_TECHNICIAN = "Corin Vale"
HIGH_METER_FACTOR = 1.08

# On these complaints the technician fits a lid lock before any meter has touched it.
GUESSER = "Tobin Marsh"
GUESSED_KIND = "washer"
GUESSED_CAUSE = "lid_lock_failed"
GUESSED_SYMPTOMS = frozenset({"wont_drain", "wont_spin", "wont_fill"})
GUESS_SHARE = 0.45

# A dryer element that burns out again in the first two months.
EARLY_PART_NO = "HE-4417"
EARLY_PART_KIND = "dryer_electric"
EARLY_PART_COMPONENT = "heating_element"
EARLY_FAILURE_SHARE = 0.34
EARLY_FAILURE_DAYS = 60

# Vans left half empty: first visits of these days mostly end without the part.
BAD_MONTH_NAME = "2026-02"
BAD_FIRST_VISITS = (date(2026, 1, 27), date(2026, 2, 24))
BAD_MONTH_ON_VAN = 0.45

# The shop opens the dryer before anybody has looked at the vent.
POOR_ORDER_KIND = "dryer_electric"
POOR_ORDER_SYMPTOM = "long_dry"
POOR_ORDER_STEPS = (
    "dryer_element_ohm",
    "dryer_thermistor_ohm",
    "dryer_moisture_bars_wet",
    "block_l1_l2_v",
    "dryer_total_current_a",
    "exhaust_temp",
    "vent_back_pressure",
    "vent_airflow_check",
)

# Repair codes whose flat price was never raised: the factor on the price that would cover them.
UNDER_COST_PRICES = {"clean_vent": 0.5, "replace_defrost_heater": 0.5}

DETAILS = {
    METER_READS_HIGH: f"technician={HIGH_METER_TECHNICIAN}; ohms x {HIGH_METER_FACTOR}",
    GUESSING_TECHNICIAN: f"technician={GUESSER}; component=lid_lock; share={GUESS_SHARE}",
    EARLY_PART: f"part_no={EARLY_PART_NO}; fails within {EARLY_FAILURE_DAYS} days: "
    f"{EARLY_FAILURE_SHARE}",
    BAD_MONTH: f"month={BAD_MONTH_NAME}; parts on the van x {BAD_MONTH_ON_VAN}",
    POOR_ORDER: f"kind={POOR_ORDER_KIND}; symptom={POOR_ORDER_SYMPTOM}",
    UNDER_COST: "repair_code=" + "|".join(UNDER_COST_PRICES),
}
ALL_PLANTS = frozenset(DETAILS)
