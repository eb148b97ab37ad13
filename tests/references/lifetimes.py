"""Published survival tables; source next to each. The times themselves: chance.py, packages."""

# Freireich et al. 1963, 6-MP: week, at risk, events, share, log-log 95 % limits (Kalbfleisch &
# Prentice 1980 and common survival software; from memory, reproduced to four digits).
SIX_MP_TABLE = [
    (6, 21, 3, 0.857143, 0.6197, 0.9516),
    (7, 17, 1, 0.806723, 0.5631, 0.9228),
    (10, 15, 1, 0.752941, 0.5032, 0.8894),
    (13, 12, 1, 0.690196, 0.4316, 0.8491),
    (16, 11, 1, 0.627451, 0.3675, 0.8049),
    (22, 7, 1, 0.537815, 0.2678, 0.7468),
    (23, 6, 1, 0.448179, 0.1881, 0.6801),
]
PLACEBO_SHARES = {1: 19 / 21, 5: 12 / 21, 8: 8 / 21, 23: 0.0}

# Miles 1977, maintained chemotherapy (package survival, aml): shares printed with three digits.
MAINTAINED_SHARES = [0.909, 0.818, 0.716, 0.614, 0.491, 0.368, 0.184]

# North Central Cancer Treatment Group, lung, 228 patients, 165 deaths (package survival, cancer;
# printed by R's survfit and survdiff, from memory): share by day; log-rank by sex and its p.
LUNG_SHARES = {180: 0.7217, 365: 0.409, 730: 0.1157}
LUNG_LOG_RANK = (10.3267, 0.00131)

# Rossi et al. 1980, arrests after release, 432 men, 114 arrests, everybody watched for 52 weeks:
# the share is then plainly 1 - arrests / 432. Band computed by a second library.
ROSSI_SHARES = {10: 0.965278, 20: 0.907407, 30: 0.861111, 40: 0.803241, 52: 0.736111}
ROSSI_BAND_52 = (0.691860, 0.775063)

# The lung data again, by the patient's own Karnofsky score within hospitals, 224 patients: the
# example of R's survdiff, `pat.karno + strata(inst)`, as R prints it (from memory, reproduced to
# every digit): score -> died, expected, (O - E)^2 / V.
LUNG_BY_KARNOFSKY = {
    30: (1, 0.692, 0.15752),
    40: (1, 1.099, 0.00973),
    50: (4, 1.166, 7.45359),
    60: (27, 16.298, 9.57333),
    70: (31, 26.358, 1.14774),
    80: (38, 41.938, 0.60032),
    90: (38, 47.242, 3.23078),
    100: (21, 26.207, 1.44067),
}
