"""Published values for skewed times and quantiles, source next to each."""

# Lognormal with log standard deviation 0.5: share above the median, whole per cent. Trade
# reference, computed there; closed form exp(z * 0.5) and exp(0.125).
LOGNORMAL_ABOVE_MEDIAN = [("mean", 0.13), (0.75, 0.40), (0.80, 0.52)]

# NIST/SEMATECH e-Handbook 7.2.6.2, twelve measurements; 90th percentile by Hyndman & Fan type 7
# as given for these data in public test files (the page itself prints type 6, 95.1981).
P90_SAMPLE = [
    *(95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610),
    *(95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682),
]
NIST_P90 = 95.1957

# Olsson 2005, J Stat Educ 13(1), mean of a lognormal exp(mean + variance / 2): n = 40, log mean,
# log variance (inputs from memory), point estimate.
OLSSON_MEAN = (5.127, 1.010, 279.22)

# Efron & Tibshirani 1993, chapter 2, survival of nine control mice (from memory, reproduced: mean
# 56.22). The bootstrap distribution of their median is exact, P(median* <= k-th) =
# P(Binomial(9, k / 9) >= 5): .0014 .0304 at k = 1, 2 and .9696 .9986 at k = 7, 8 (computed); hence
# the second and the eighth value are its 2.5 % and 97.5 % points.
CONTROL_MICE = [52, 104, 146, 10, 50, 31, 40, 27, 46]
CONTROL_MEDIAN_INTERVAL = (27, 104)
