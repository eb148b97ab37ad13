-- The common filters over the tests of jobs: those of a period, branch, technician, kind and complaint.
-- grain: one row per closed job and test point.
-- counts: an empty list or NULL means all; the period includes both of its days. The technician is
--         the job's.
CREATE MACRO core.tests_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT first_tests.*,
FROM core.first_tests AS first_tests
WHERE (from_arg IS NULL OR closed_on >= from_arg::DATE)
    AND (to_arg IS NULL OR closed_on <= to_arg::DATE)
    AND (coalesce(len(branch_arg::VARCHAR[]), 0) = 0 OR list_contains(branch_arg::VARCHAR[], branch))
    AND (
        coalesce(len(technician_arg::VARCHAR[]), 0) = 0
        OR list_contains(technician_arg::VARCHAR[], technician)
    )
    AND (
        coalesce(len(kind_arg::VARCHAR[]), 0) = 0
        OR list_contains(kind_arg::VARCHAR[], appliance_kind)
    )
    AND (
        coalesce(len(symptom_arg::VARCHAR[]), 0) = 0
        OR list_contains(symptom_arg::VARCHAR[], symptom)
    );
