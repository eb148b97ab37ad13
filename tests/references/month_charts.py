"""Further attribute charts and the false alarms of run rules; the first charts: chance.py."""

# Montgomery's orange-juice cans (see chance.py) without samples 15 and 23: centre, lower, upper;
# and the sample that is outside then. From memory, reproduced to four digits.
CANS_WITHOUT_TWO = (0.2150, 0.0407, 0.3893)
CANS_ALSO_OUTSIDE = [21]
# Samples 31 to 54, after an adjustment (data as in the package qcc): centre, lower, upper.
CANS_LATER = [9, 6, 12, 5, 6, 4, 6, 3, 7, 6, 2, 4, 3, 6, 5, 4, 8, 5, 6, 7, 5, 6, 3, 5]
CANS_LATER_CHART = (0.1108, 0.0, 0.2440)

# Montgomery's purchase orders: lower limits by n, computed from the unrounded centre.
ORDERS_LOW = {80: 0.0, 90: 0.0026, 100: 0.0073, 110: 0.0114, 120: 0.0150}

# Chance per month that a rule fires although nothing changed, for normal values: 2 Φ(-3); nine on
# one of two sides; with t = Φ(-2), the last and at least one of the two before beyond 2 sigma on
# one side, 2 t (1 - (1 - t)^2); six in rising or falling order, 2 / 6!. Arithmetic, no source.
T = 0.0227501
FALSE_ALARMS = {
    "a point beyond 3 sigma": 0.0026998,
    "9 in a row on one side": 2 / 2**9,
    "2 of 3 beyond 2 sigma": 2 * T * (1 - (1 - T) ** 2),
    "6 in a row rising or falling": 2 / 720,
}
