"""Published values of meters, limits and laws of temperature beyond readings.py; source next to each."""

# IEC 60751, Pt100, degrees Celsius → ohm, two digits (several pages that quote the table). One
# widely copied page has 138.50, 175.84, 212.03: an older curve.
PT100 = {
    -200: 18.52,
    -100: 60.26,
    -50: 80.31,
    -40: 84.27,
    0: 100.00,
    20: 107.79,
    25: 109.73,
    100: 138.51,
    200: 175.86,
    300: 212.05,
    400: 247.09,
    600: 313.71,
    850: 390.48,
}

# Beta law of a 10 kOhm thermistor, beta → ohm at 0, 50, 85, 100 Cel: computed, no published twin.
NTC_BY_BETA = {
    3380: (28223.7, 4160.1, 1496.9, 1024.3),
    3435: (28704.3, 4101.2, 1451.3, 987.0),
    3950: (33620.6, 3588.2, 1086.7, 697.5),
    3977: (33900.4, 3563.1, 1070.3, 684.9),
}
# Two thermistors' own curves, degrees Celsius → ohm. Data logger's manual (Steinhart-Hart, R25 =
# 10000), and the extended form of a maker's data sheet with B25/85 = 3977 (read in public code).
LOGGER_TABLE = {0: 32650.9, 1: 31030.8, 25: 10000.0}
EXTENDED_FORM_3977 = {0: 32554.8, 50: 3605.3, 85: 1070.3, 100: 677.3}
# A control maker's 10 kOhm table, ± 4.7 % (manual): only the points near room temperature.
CONTROL_TABLE = {20: 12490.0, 30: 8057.0}

# Copper: R falls to nothing at -234.45 Cel by alpha .00393; winding tests use 234.5 (IEC 60335-1).
COPPER_INFERRED_ZERO_CEL = -234.45

# ISO 14253-1:2017, default 95 %: conformity is proved from 1.65 u inside a single limit (as quoted
# by calibration laboratories; the exact factor is Φ^-1(.95)).
GUARD_FACTOR = 1.6449
# ILAC-G8:09/2019, chance of false acceptance at the edge of an acceptance zone that is r U narrower,
# U = 2 u. The guide says under 50 % with r = 0, under 2.5 % with r = 1 (read second hand), under 5 %
# with r = .83 (from memory); the digits are computed, Φ(-2 r).
FALSE_ACCEPTANCE = {0.0: 0.5, 0.83: 0.04846, 1.0: 0.02275, 1.5: 0.00135}

# JCGM 100:2008 (GUM) 4.3.7, from memory, reproduced: 14e-6 of 0.928571 V + 2e-6 of the range 1 V → a = 15 uV, u = 8.7 uV.
GUM_VOLTMETER = {
    "value": 0.928571,
    "accuracy_pct": 14e-4,
    "range_part": 2e-6,
    "a": 15e-6,
    "u": 8.7e-6,
}
