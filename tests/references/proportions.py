"""Published intervals of proportions and of their differences; source next to each."""

# Newcombe 1998, Stat Med 17:857, Table I, 95 %: (k, n), Wilson (read in a public test file that
# quotes the table).
NEWCOMBE_TABLE_1 = [
    ((81, 263), (0.2553, 0.3662)),
    ((15, 148), (0.0624, 0.1605)),
    ((0, 20), (0.0, 0.1611)),
    ((1, 29), (0.0061, 0.1718)),
]

# Six digits, from the test data of a public-health statistics package (PHEindicatormethods): (k, n),
# Wilson 95 %, Wilson 99.8 % (None: not given).
WILSON_SIX_DIGITS = [
    ((65, 100), (0.552544, 0.736358), (0.495495, 0.778354)),
    ((1045, 5000), (0.197955, 0.220491), (0.191794, 0.227316)),
    ((1, 100), (0.001767, 0.054486), None),
    ((222, 3215), None, (0.056471, 0.084184)),
    ((0.445, 1), (0.043817, 0.933462), None),
]

# Newcombe 1998, Stat Med 17:873, method 10 (as quoted in public test files): k, n, other k, n.
NEWCOMBE_DIFFERENCES = [
    ((56, 70, 48, 80), (0.0524, 0.3339)),
    ((9, 10, 3, 10), (0.1705, 0.8090)),
    ((5, 56, 0, 29), (-0.0381, 0.1926)),
]

# Brown, Cai & DasGupta 2001, Stat Sci 16:101: exact coverage of the plain interval
# rate ± 1.96 sqrt(rate (1 - rate) / n) at a true rate (from memory, reproduced to three digits).
WALD_COVERAGE = [(0.5, 17, 0.951), (0.5, 40, 0.919), (0.2, 30, 0.946), (0.2, 98, 0.928)]
