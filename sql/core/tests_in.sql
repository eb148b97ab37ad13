-- The common filters over the tests of jobs: those of a period, branch, technician, kind and complaint.
-- grain: one row per closed job and test point.
-- counts: an empty list or NULL means all; the period includes both of its days. The technician is
--         the job's.
CREATE MACRO core.tests_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT first_tests.*,
FROM core.first_tests AS first_tests
WHERE core.is_in_period(from_arg, to_arg, closed_on)
    AND core.is_chosen(branch_arg, branch)
    AND core.is_chosen(technician_arg, technician)
    AND core.is_chosen(kind_arg, appliance_kind)
    AND core.is_chosen(symptom_arg, symptom);
