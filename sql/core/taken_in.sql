-- The common filters over readings as taken, each with the key of its verdict: to count before joining.
-- grain: one row per reading of a closed job; its verdict is in core.reading_verdicts.
-- counts: as core.readings_in. Readings are many and verdicts few: what is counted by verdict_key first
--         meets the verdicts a hundred times less often.
CREATE MACRO core.taken_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg
) AS TABLE
SELECT
    job_id,
    closed_on,
    technician,
    final_component,
    is_replaced,
    is_new_part,
    is_replaced AND NOT is_new_part AS is_condemned,
    verdict_key,
FROM core.taken_readings AS taken_readings
WHERE closed_on IS NOT NULL
    AND core.is_in_period(from_arg, to_arg, closed_on)
    AND core.is_chosen(branch_arg, branch)
    AND core.is_chosen(technician_arg, technician)
    AND core.is_chosen(kind_arg, appliance_kind)
    AND core.is_chosen(symptom_arg, symptom);
