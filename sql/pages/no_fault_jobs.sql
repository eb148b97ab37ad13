-- The jobs behind the page "No fault found": closed so, back again, not measured, or unstable.
-- grain: one row per job, newest first; callback_days = days until the same complaint came again.
-- counts: $which as the columns of measures/no_fault_found: 'no_fault', 'came_back' (and old enough),
--         'not_measured', 'unstable_jobs'.
WITH chosen AS (
    SELECT *
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by
    )
    WHERE is_complaint
        AND disposition IN ('repaired', 'no_fault_found', 'declined', 'beyond_repair', 'referred')
        AND ($group_value::VARCHAR IS NULL OR group_name = $group_value::VARCHAR)
),

returned AS (
    SELECT
        chosen.job_id,
        min(date_diff('day', chosen.closed_on, later.opened_on)) AS days,
    FROM chosen
    INNER JOIN core.jobs AS later
        ON chosen.unit_key = later.unit_key AND chosen.job_id <> later.job_id
    WHERE chosen.disposition = 'no_fault_found'
        AND later.disposition <> 'cancelled'
        AND date_diff('day', chosen.closed_on, later.opened_on) BETWEEN 0 AND $window_days
        AND (
            later.callback_of = chosen.job_id
            OR (
                later.symptom_family = chosen.symptom_family
                AND later.symptom_family NOT IN ('unspecified', 'no_complaint')
                AND (
                    later.opened_on > chosen.opened_on
                    OR core.number_key(later.job_id) > core.number_key(chosen.job_id)
                )
            )
        )
    GROUP BY chosen.job_id
)

SELECT
    chosen.job_id,
    chosen.closed_on,
    chosen.technician,
    chosen.appliance_kind,
    chosen.symptom,
    chosen.final_cause AS cause,
    chosen.attended_visits,
    chosen.labour_min,
    chosen.charged,
    coalesce(returned.days, chosen.callback_days) AS callback_days,
FROM chosen
LEFT JOIN returned ON chosen.job_id = returned.job_id
WHERE CASE $which
        WHEN 'came_back'
            THEN returned.job_id IS NOT NULL AND chosen.days_since_closed >= $window_days
        WHEN 'not_measured' THEN chosen.disposition = 'no_fault_found' AND chosen.readings = 0
        WHEN 'unstable_jobs' THEN EXISTS (
            FROM core.readings AS readings
            WHERE readings.job_id = chosen.job_id AND ' ' || readings.flags || ' ' LIKE '% unstable %'
        )
        ELSE chosen.disposition = 'no_fault_found'
    END
ORDER BY chosen.closed_on DESC, chosen.job_id;
