"""Published values for tests of a cause, agreement and Bayes' rule, source next to each."""

# Altman & Bland, BMJ 1994;308:1552 and 309:102, liver scan. Shares as printed (two decimals).
# Intervals: computed from the Wilson and the Simel 1991 formulas, no published twin.
LIVER_SCAN = {
    "cells": {"true_outside": 231, "false_inside": 27, "false_outside": 32, "true_inside": 54},
    "sensitivity": 0.90,
    "specificity": 0.63,
    "sensitivity_wilson": (0.8520, 0.9271),
    "specificity_wilson": (0.5223, 0.7225),
    "ratio_outside": (2.406250, 1.822791, 3.176469),
    "ratio_inside": (0.166667, 0.112590, 0.246717),
}

# prior, p(outside | fault), p(outside | no fault), posterior after an outside reading.
# Casscells 1978, N Engl J Med 299:999; Eddy 1982, mammogram (both from memory, reproduced).
BAYES = [(0.001, 1.0, 0.05, 0.0196), (0.01, 0.80, 0.096, 0.0776)]

# Cohen's kappa: table, kappa, digits printed, standard error (None: not printed), interval.
KAPPA = [
    # textbook two by two: observed .70, expected .50 (arithmetic)
    ([[20, 5], [10, 15]], 0.40, 9, None, None),
    # Fleiss, Levin & Paik, Statistical Methods for Rates and Proportions (from memory)
    ([[75, 1, 4], [5, 4, 1], [0, 0, 10]], 0.68, 2, None, None),
    # Agresti, Categorical Data Analysis, carcinoma diagnoses (from memory)
    (
        [[22, 2, 2, 0], [5, 7, 14, 0], [0, 2, 36, 0], [0, 1, 17, 10]],
        0.493,
        3,
        0.057,
        (0.38, 0.60),
    ),
]
