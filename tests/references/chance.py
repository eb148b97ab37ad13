"""Published and computed values for chance, charts, curves and shrinkage, source next to each."""

# Exact Poisson 95 % limits of a count: the standard table (Garwood 1936), three or four digits,
# quoted from memory and reproduced.
EXACT_POISSON = {
    0: (0.0, 3.689), 1: (0.0253, 5.572), 2: (0.2422, 7.225), 3: (0.6187, 8.767),
    4: (1.0899, 10.242), 5: (1.6235, 11.668), 10: (4.795, 18.390), 20: (12.217, 30.888),
    50: (37.111, 65.919),
}  # fmt: skip

# Byar's limits of a count, from the public test data of PHEindicatormethods
# (tests/testthat/testdata_Byars_Wilson.xlsx): count, confidence, low, high.
BYAR = [
    (65, 0.95, 50.163188, 82.849139),
    (65, 0.998, 42.880261, 94.000291),
    (1045, 0.95, 982.593202, 1110.331213),
    (1045, 0.998, 947.940704, 1148.806161),
    (10, 0.998, 2.916318, 24.193725),
]
# Standardised ratios with 835.883561 expected (same package, testresults_ISR): observed, ratio,
# low, high.
RATIOS = [(895, 1.070723, 1.001715, 1.143233), (91, 0.108867, 0.087650, 0.133666)]
RATIOS_EXPECTED = 835.883561

# Funnel limits by Spiegelhalter's interpolation (2005, formula of the appendix from memory),
# computed, no published twin: (shop rate, n): limits at .001, .025, .975, .999.
FUNNEL = {
    (0.8, 5): (0.02125, 0.27141, 0.98474, 0.99939),
    (0.8, 50): (0.60086, 0.67291, 0.89560, 0.94522),
    (0.8, 500): (0.74211, 0.76335, 0.83351, 0.85251),
    (0.9, 20): (0.61483, 0.72153, 0.98972, 0.99959),
    (0.1, 10): (0.0, 0.0, 0.27874, 0.44267),
    (0.1, 200): (0.03785, 0.05769, 0.14097, 0.16857),
}

# Rat tumours, 71 groups: Tarone 1982; Gelman et al., Bayesian Data Analysis, Table 5.1, as copied
# in public repositories (267 of 1,739).
RAT_TUMOURS = (
    [0] * 14 + [1] * 8 + [2] * 9 + [1, 5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10] + [4] * 7
    + [10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4]
)  # fmt: skip
RATS = (
    [20] * 7 + [19] * 4 + [18] * 2 + [17] + [20] * 4 + [19] * 2 + [18] * 2 + [25, 24, 23]
    + [20] * 6 + [10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50] + [20] * 7
    + [48, 19, 19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 46, 47, 24, 14]
)  # fmt: skip
RAT_FIT = (2.34160744, 14.11475958)  # maximum likelihood, as printed in a public article
RAT_POSTERIOR = {(0, 20): 0.064231, (4, 20): 0.173951, (16, 52): 0.267931, (4, 14): 0.208219}

# Montgomery, Introduction to Statistical Quality Control: orange-juice cans, 30 samples of 50
# (data as in the package qcc, orangejuice; limits as in the book, four digits).
CANS = [
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12,
    7, 13, 9, 6,
]  # fmt: skip
CANS_CHART = {"centre": 0.2313, "low": 0.0524, "high": 0.4102, "outside": [15, 23]}
CANS_SIGMA_Z = 1.660867  # computed

# Montgomery: purchase orders, samples of unequal size (recalled; sums agree with the book).
ORDERS_N = [
    100, 80, 80, 100, 110, 110, 100, 100, 90, 90, 110, 120, 120, 120, 110, 80, 80, 80, 90, 100,
    100, 100, 100, 90, 90,
]  # fmt: skip
ORDERS = [12, 8, 6, 9, 10, 12, 11, 16, 10, 6, 20, 15, 9, 8, 6, 8, 10, 7, 5, 8, 5, 8, 10, 6, 9]
ORDERS_HIGH = {80: 0.1941, 90: 0.1885, 100: 0.1837, 110: 0.1796, 120: 0.1760}
ORDERS_SIGMA_Z = 0.965674  # computed: mean moving range 1.089280 / 1.128

# Bruised peaches, Pyzdek & Keller, Handbook for Quality Management, Table 9.6: samples of 250,
# numbers 11-13 and 22-25 of 500; 1,544 of 8,000, none outside. Limits computed.
PEACHES = [
    47, 42, 55, 51, 46, 61, 39, 44, 41, 51, 88, 101, 101, 40, 48, 47, 50, 48, 57, 45, 43, 105, 98,
    100, 96,
]  # fmt: skip
PEACHES_N = [250] * 10 + [500] * 3 + [250] * 8 + [500] * 4
PEACHES_LIMITS = {250: (0.1181, 0.2679), 500: (0.1401, 0.2459)}

# Run rules, from the public tests of the package qcc (test-rules.R): values in sigma, and the
# 1-based places where a signal ends.
RULES = {
    "a point beyond 3 sigma": ([0, 3.2, -3.4, 3], [2, 3]),
    "9 in a row on one side": ([0.5] * 10 + [-0.5] * 10, [9, 10, 19, 20]),
    "6 in a row rising or falling": (
        [1, 2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2, 1],
        [6, 7, 13, 14],
    ),
    "2 of 3 beyond 2 sigma": ([0, 2.3, 0.4, 2.2, -2.4, -0.2, -2.5], [4, 7]),
}

# Freireich et al. 1963: weeks in remission, minus = censored; log-rank 16.79, expected 19.25 and
# 10.75 (Kalbfleisch & Prentice; quoted from memory and reproduced).
SIX_MP = [
    6, 6, 6, -6, 7, -9, 10, -10, -11, 13, 16, -17, -19, -20, 22, 23, -25, -32, -32, -34, -35,
]  # fmt: skip
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]
REMISSION = {"statistic": 16.792941, "p_value": 4.1688e-5, "expected": (19.25, 10.75)}

# Miles 1977, acute myelogenous leukaemia, weeks (package survival, aml): log-rank 3.4, p .065.
MAINTAINED = [9, 13, -13, 18, 23, -28, 31, 34, -45, 48, -161]
NOT_MAINTAINED = [5, 5, 8, 8, 12, -16, 23, 27, 30, 33, 43, 45]
AML = {"statistic": 3.3964, "p_value": 0.0653}

# Kidney stones, Charig et al. 1986, BMJ 292:879 (from memory): treatment, size, successes, cases.
STONES = [("A", "small", 81, 87), ("A", "large", 192, 263), ("B", "small", 234, 270),
          ("B", "large", 55, 80)]  # fmt: skip
