"""Published values of resistance thermometers, thermistors, copper, conformity; source next to each."""

# IEC 60751, Pt100 at degrees Celsius (several pages that quote the standard's table), ohm × 10
PT1000 = {
    -100: 602.6, -50: 803.1, 0: 1000.0, 20: 1077.9, 25: 1097.3, 100: 1385.1, 200: 1758.6,
    300: 2120.5, 400: 2470.9,
}  # fmt: skip

# IEC 60028 as an instrument manual quotes it (3930 ppm/K at 20 Cel): R(t) / R(20)
COPPER = {75: 1.21615, 100: 1.3144, 0: 0.9214}

# A published 10 kOhm table (data-logger maker's appendix, Steinhart-Hart): Cel → ohm; a beta law
# from 25 Cel leaves up to 4 % at 0 Cel (two further published curves differ as much)
NTC_10K = {0: 32650.9, 25: 10000.0}

# Thermistor data sheet's own points, recalled from memory: 4.161k at 50 Cel gives B25/50 = 3380
NTC_B3380 = {50: 4161.0}

# JCGM 106:2012, examples of clause 7 (numbers reproduced; the text was not read):
# (value, u, low, high, conformity probability as printed)
JCGM_106 = (
    (-5.47, 0.05, None, -5.40, 0.92),  # Zener diode
    (509.7, 8.6, 490.0, None, 0.99),  # burst strength
    (13.6, 1.8, 12.5, 16.3, 0.66),  # motor oil
)
