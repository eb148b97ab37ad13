"""Worked arithmetic of a flat rate: common practice, no source (trade reference, computed there).

All amounts are rounded to the cent, labour to the cent per hour.
"""

LABOUR = {
    "wage_per_hour": 32,
    "burden_rate": 0.25,
    "billable_share": 1200 / 2080,
    "paid_hours": 2080,
    "overhead_per_technician": 48_000,
}
TECHNICIAN_PER_HOUR, OVERHEAD_PER_HOUR, LABOUR_PER_HOUR = 69.33, 40.00, 109.33

PLANNED_MIN = 35 + 20 + 25  # repair, diagnosis, travel
LABOUR_COST, PART_COST, RESERVE, COST = 145.78, 45.00, 7.76, 198.54
CALLBACK = {"callback_chance": 0.06, "callback_min": 60, "parts": 20}
TARGET_MARGIN, PRICE = 0.15, 233.57
PRICE_BY_MARKUP, MARGIN_OF_MARKUP = 228.32, 0.130

# slabs: 3.0 on the first 10, 2.0 on 10 to 50, 1.6 above; part cost, price
SLABS = [(10, 3.0), (50, 2.0), (None, 1.6)]
SLAB_PRICES = [(45, 100), (150, 270)]
# one factor on the whole cost: 3.0 up to 10, 2.2 above; the dearer part comes out cheaper
STEP_TIERS = [(9.99, 3.0, 29.97), (10.01, 2.2, 22.02)]
