"""Published and brute-forced values for the order of tests.

Sources next to each block. "Brute force" values have no published twin: they were found by trying
every order with exact fractions.
"""

# Ratio rule, decreasing probability / cost, perfect tests, search until found: Smith 1956 (WSPT),
# Gluss 1959, Mitten 1960 (attributions from memory). Numbers: brute force.
RATIO_RULE = [
    # probability, cost, least cost, one best order, (an order, its cost) ...
    (
        (0.40, 0.25, 0.20, 0.10, 0.05),
        (10, 3, 8, 2, 1),
        12.75,
        [(1, 3, 4, 0, 2), (1, 4, 3, 0, 2)],
        [((0, 1, 2, 3, 4), 14.95), ((4, 3, 1, 2, 0), 14.25)],
    ),
    (
        (0.35, 0.30, 0.15, 0.12, 0.08),
        (4, 6, 1, 3, 2),
        8.16,
        [(2, 0, 1, 3, 4), (2, 0, 1, 4, 3)],
        [((0, 1, 2, 3, 4), 9.01)],
    ),
]

# First counter-example to the ratio rule: the last suspect is known by elimination. Brute force.
ELIMINATION = {
    "probability": (0.40, 0.25, 0.20, 0.10, 0.05),
    "minutes": (10, 3, 8, 2, 1),
    "best_min": 9.95,
    "best_orders": [(1, 3, 4, 2, 0), (1, 4, 3, 2, 0)],
    "ratio_order": (1, 3, 4, 0, 2),
    "ratio_min": 11.15,
}

# Series system, independent failures, stop at the first: increasing cost / q (Mitten 1960, from
# memory). Numbers: brute force.
SERIES = [
    ((0.2, 0.1, 0.5, 0.3), (4, 1, 15, 6), 16.48, [(1, 0, 3, 2), (1, 3, 0, 2)]),
    ((0.05, 0.20, 0.10, 0.40, 0.25), (1, 6, 2, 20, 4), 20.2825, [(4, 0, 2, 1, 3), (4, 2, 0, 1, 3)]),
]

# Smith 1956, Naval Res Log Quart 3:59, 1 || sum w C: weights, processing times. Brute force.
SMITH = {
    "weights": (1, 10, 5, 8, 2),
    "times": (3, 12, 4, 9, 7),
    "least": 472,
    "order": (2, 3, 1, 0, 4),
}

# Second counter-example to the ratio rule: a panel (6 minutes) before tests 0 and 1. Brute force.
SHARED_OPENING = {
    "probability": (0.3, 0.2, 0.3, 0.2),
    "minutes": (1, 1, 3, 2),
    "panel_min": 6,
    "behind_panel": (0, 1),
    "best_min": 8.1,
    "best_orders": [(2, 3, 0, 1), (3, 2, 0, 1)],
    "ratio_order": (0, 1, 2, 3),
    "ratio_min": 9.6,
}
