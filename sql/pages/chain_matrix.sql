-- How likely each test of a chain reads outside limits, given the cause.
-- grain: one row per appliance kind, complaint, cause and test point.
-- source: sql/lookups/cause_test_matrix.csv, judgement of the trade: the shop's own shares are biased
--         upward, because a test that missed is often not written down.
SELECT
    kind AS appliance_kind,
    symptom,
    cause,
    test_point,
    p_out_of_limits::DOUBLE AS outside,
FROM lookups.cause_test_matrix
ORDER BY kind, symptom, cause, test_point;
