"""Further fits of a beta-binomial by other programs; the rats themselves are in chance.py."""

# Rat tumours: log-likelihood with binomial coefficients, fit without the last group, and 5 % and
# 95 % points of the posteriors (tumours, rats, points): computed with a second program.
RAT_LOG_LIKELIHOOD = -156.568930
RAT_FIT_OF_70 = (2.30478, 14.07981)
RAT_QUANTILES = [
    (0, 20, 0.014288, 0.141088),
    (4, 20, 0.083138, 0.285291),
    (16, 52, 0.184484, 0.359140),
    (4, 14, 0.100894, 0.337611),
]
# Gelman et al., Bayesian Data Analysis, chapter 5: fit by moments to the 70 earlier groups and the
# posterior of the 71st, 4 of 14 (from memory; the book computes with unrounded 1.3561, 8.6151).
RAT_BOOK = {"beta": (1.3561, 8.6151), "mean": 0.223, "deviation": 0.083}

# Crowder 1978, Appl Stat 27:34, germination (package aod, orob2): seed, root -> mean and
# 1 / (a + b + 1) by maximum likelihood, computed with a second program.
GERMINATION = {
    ("O75", "BEAN"): (0.36867, 0.01732),
    ("O75", "CUCUMBER"): (0.68474, 0.00979),
    ("O73", "BEAN"): (0.38900, 0.01627),
    ("O73", "CUCUMBER"): (0.52954, 0.00192),
}
