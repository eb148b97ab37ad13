"""Published values for skewed times and quantiles, source beside each."""

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
