-- Which fields of the form each job should hold, and which of them are not written down.
-- grain: one row per closed job and field that it should have.
-- counts: is_missing = TRUE where the records do not hold it. Expected of repaired complaints: appliance
--         (customer or serial, by which a return is seen), visits, complaint, cause, repair, minutes,
--         charge. reading: where a replaced part can be tested; missing without any reading that can
--         see a replaced part fail. part: where the repair is a replacement; missing without a part
--         line. reason: where there were return trips; missing without a reason for the first.
--         technician: of every closed job.
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
    SELECT job_id, count(*) FILTER (WHERE coalesce(evidence, 'not tested') = 'not tested') AS unread,
    FROM core.part_evidence
    WHERE coalesce(evidence, 'not tested') <> 'no test'
    GROUP BY job_id
),

reasons AS (
    SELECT job_id, reason,
    FROM core.fixes_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, window_arg
    )
    WHERE attended_visits > 1
),

asked AS (
    SELECT group_name, job_id, 'appliance' AS field, NOT is_linked AS is_missing,
    FROM jobs
    WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'visits', attended_visits IS NULL FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'complaint', symptom = 'unspecified' FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'cause', recorded_cause IS NULL FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'repair', repair_code IS NULL FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'minutes', labour_min IS NULL FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'charge', charged IS NULL FROM jobs WHERE is_asked
    UNION ALL
    SELECT group_name, job_id, 'part', part_lines = 0
    FROM jobs
    WHERE is_asked AND repair_code LIKE 'replace%'
    UNION ALL
    SELECT jobs.group_name, jobs.job_id, 'reading', parts.unread > 0
    FROM jobs
    INNER JOIN parts ON jobs.job_id = parts.job_id
    WHERE jobs.is_asked
    UNION ALL
    SELECT jobs.group_name, jobs.job_id, 'reason', reasons.reason = 'not_recorded'
    FROM jobs
    INNER JOIN reasons ON jobs.job_id = reasons.job_id
    UNION ALL
    SELECT group_name, job_id, 'technician', technician IS NULL FROM jobs
)

SELECT group_name, job_id, field, coalesce(is_missing, TRUE) AS is_missing,
FROM asked;
