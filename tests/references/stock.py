"""Published and computed values for van stock, source next to each."""

# Smallest S with P(Poisson <= S) >= .80 .90 .95 .99: computed with scipy, no published twin.
BASE_STOCK_SERVICE = (0.80, 0.90, 0.95, 0.99)
BASE_STOCK = {
    0.2: (0, 1, 1, 2),
    0.5: (1, 1, 2, 3),
    1: (2, 2, 3, 4),
    1.2: (2, 3, 3, 4),
    2: (3, 4, 5, 6),
    3.4: (5, 6, 7, 8),
    5: (7, 8, 9, 11),
    10: (13, 14, 15, 18),
}
# Poisson 1.2: expected units missing with a stock of 0 .. 3, computed.
EXPECTED_SHORTAGE = (1.2, (1.2, 0.501194, 0.163821, 0.043309))


# Joint chance that no part runs short, independent Poisson 1.2 / .6 / .3, sizes 4 / 2 / 3: space,
# stock, chance. Brute force.
JOINT_MEANS, JOINT_SIZES = (1.2, 0.6, 0.3), (4, 2, 3)
JOINT_FILL = [
    (10, (2, 1, 0), 0.572116),
    (15, (2, 2, 1), 0.827423),
    (18, (2, 2, 2), 0.856065),
    (20, (3, 2, 1), 0.909032),
]

# Kits that cover whole jobs: share of jobs by the parts they need, cost of each part, and the best
# coverage by budget. Brute force; D is in the best set at 55 and 80 but not at 70 or 95.
KIT_JOBS = {"A": 0.35, "B": 0.20, "C": 0.15, "AB": 0.10, "BC": 0.08, "D": 0.07, "AD": 0.05}
KIT_COSTS = {"A": 40, "B": 25, "C": 30, "D": 15}
KIT_BEST = [
    (40, "A", 0.35),
    (55, "AD", 0.47),
    (70, "AB", 0.65),
    (80, "ABD", 0.77),
    (95, "ABC", 0.88),
    (110, "ABCD", 1.0),
]
