-- Which fields of the form each job should hold, and which of them are not written down.
-- grain: one row per closed job.
-- counts: no_… = TRUE where the records do not hold the field, FALSE where they do, NULL where it is not
--         expected. Expected of repaired complaints: appliance (customer or serial, by which a return
--         is seen), visits, complaint, cause, repair, minutes, charge. reading: where a replaced
--         part can be tested; missing without any reading that can see a replaced part fail. part: where
--         the repair is a replacement; missing without a part line. reason: where there were return
--         trips; missing without a reason for the first. technician: of every closed job.
CREATE MACRO core.unwritten_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg, window_arg
) AS TABLE
WITH jobs AS (
    SELECT *, is_repaired AND is_complaint AS is_asked,
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg
    )
),

parts AS (
    SELECT
        job_id,
        count(*) FILTER (WHERE coalesce(evidence, 'not tested') = 'not tested') > 0 AS is_unread,
    FROM core.part_evidence
    WHERE coalesce(evidence, 'not tested') <> 'no test'
    GROUP BY job_id
),

reasons AS (
    SELECT job_id, coalesce(reason = 'not_recorded', TRUE) AS is_missing,
    FROM core.fixes_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
    )
    WHERE attended_visits > 1
)

SELECT
    jobs.group_name,
    jobs.job_id,
    CASE WHEN jobs.is_asked THEN NOT jobs.is_linked END AS no_appliance,
    CASE WHEN jobs.is_asked THEN jobs.attended_visits IS NULL END AS no_visits,
    CASE WHEN jobs.is_asked THEN jobs.symptom = 'unspecified' END AS no_complaint,
    CASE WHEN jobs.is_asked THEN jobs.recorded_cause IS NULL END AS no_cause,
    CASE WHEN jobs.is_asked THEN jobs.repair_code IS NULL END AS no_repair,
    CASE WHEN jobs.is_asked THEN jobs.labour_min IS NULL END AS no_minutes,
    CASE WHEN jobs.is_asked THEN jobs.charged IS NULL END AS no_charge,
    CASE WHEN jobs.is_asked AND jobs.repair_code LIKE 'replace%' THEN jobs.part_lines = 0 END AS no_part,
    CASE WHEN jobs.is_asked THEN parts.is_unread END AS no_reading,
    reasons.is_missing AS no_reason,
    jobs.technician IS NULL AS no_technician,
FROM jobs
LEFT JOIN parts ON jobs.job_id = parts.job_id
LEFT JOIN reasons ON jobs.job_id = reasons.job_id;

-- Is the field of that name missing on a form? NULL where it is not expected there.
CREATE MACRO core.is_unwritten(
    field_arg,
    no_appliance_arg,
    no_visits_arg,
    no_complaint_arg,
    no_cause_arg,
    no_repair_arg,
    no_minutes_arg,
    no_charge_arg,
    no_part_arg,
    no_reading_arg,
    no_reason_arg,
    no_technician_arg
) AS CASE field_arg
    WHEN 'appliance' THEN no_appliance_arg
    WHEN 'visits' THEN no_visits_arg
    WHEN 'complaint' THEN no_complaint_arg
    WHEN 'cause' THEN no_cause_arg
    WHEN 'repair' THEN no_repair_arg
    WHEN 'minutes' THEN no_minutes_arg
    WHEN 'charge' THEN no_charge_arg
    WHEN 'part' THEN no_part_arg
    WHEN 'reading' THEN no_reading_arg
    WHEN 'reason' THEN no_reason_arg
    WHEN 'technician' THEN no_technician_arg
END;
