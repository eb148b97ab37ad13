"""Published survival tables; source beside each. Minus marks a time that is only "at least"."""

# Freireich et al. 1963, Blood 21:699, weeks in remission (installed package: MASS/gehan).
SIX_MP = [6, 6, 6, -6, 7, -9, 10, -10, -11, 13, 16, -17, -19, -20, 22, 23, -25, -32, -32, -34, -35]
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]

# week, at risk, events, share, log-log 95 % limits (Kalbfleisch & Prentice 1980 and common survival
# software; from memory, reproduced to four digits).
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

# Log-rank: statistic, p, expected events (printed 16.79, 19.25 and 10.75 in the textbooks; from
# memory, further digits computed). The plain sum of (O - E)^2 / E is 15.23: another statistic.
SIX_MP_LOG_RANK = (16.792941, 4.1688e-5, 19.25, 10.75)
NOT_THE_LOG_RANK = 15.23

# Miles 1977 leukaemia (survival/aml): maintained and not; shares printed with three digits.
MAINTAINED = [9, 13, -13, 18, 23, -28, 31, 34, -45, 48, -161]
NOT_MAINTAINED = [5, 5, 8, 8, 12, -16, 23, 27, 30, 33, 43, 45]
MAINTAINED_SHARES = [0.909, 0.818, 0.716, 0.614, 0.491, 0.368, 0.184]
AML_LOG_RANK = (3.3964, 0.0653)

# North Central Cancer Treatment Group lung data, 228 patients, 165 deaths, by sex (R survival).
LUNG_LOG_RANK = (10.3267, 0.00131)
LUNG_SHARES = {180: 0.7217, 365: 0.409, 730: 0.1157}

# Rossi et al. 1980, arrests after release, 432 men, 114 arrests, everybody watched for 52 weeks:
# the share is then plainly 1 - arrests / 432.
ROSSI_SHARES = {10: 0.965278, 20: 0.907407, 30: 0.861111, 40: 0.803241, 52: 0.736111}
ROSSI_BAND_52 = (0.691860, 0.775063)
ROSSI_LOG_RANK = (3.8376, 0.0501)
