-- How long do repairs hold with one part number, and with the other numbers of its component?
-- grain: one row per group (part, others) and day on which a job came back or was last seen.
-- unit: days since closing, 0 to the horizon of callbacks.
-- counts: as callback_curve, of the jobs in which the component was fitted; a job with both kinds of
--         number counts under the part.
WITH fitted AS (
    SELECT
        jobs.job_id,
        jobs.observed_days AS day,
        any_value(jobs.callback_days) AS callback_days,
        bool_or(part_lines.part_no = $part_no) AS has_part,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    ) AS jobs
    INNER JOIN core.part_lines AS part_lines ON jobs.job_id = part_lines.job_id
    WHERE jobs.is_counted
        AND jobs.appliance_kind = $kind
        AND coalesce(part_lines.component, 'not recorded') = $component
    GROUP BY jobs.job_id, jobs.observed_days
)

SELECT
    CASE WHEN has_part THEN $part_no::VARCHAR ELSE 'other numbers' END AS "group",
    day,
    count(callback_days) AS callbacks,
    count(*) FILTER (WHERE callback_days IS NULL) AS censored,
FROM fitted
GROUP BY "group", day
ORDER BY "group", day;
