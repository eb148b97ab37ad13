-- The closed complaints among which no fault is found, and whether the complaint came back.
-- grain: one row per complaint closed as repaired, no fault found, declined, beyond repair or referred.
-- unit: returned_days = whole days from closing to the first return within the window; NULL = none.
-- counts: returned_days is of jobs closed as no fault found: the same appliance called again for the
--         same family of complaints, or a later job names this one as the one it returns to.
--         is_fault_later: a return was repaired with a cause. is_mature: closed the window or more
--         before the records end. is_unstable: a reading is written as coming and going.
CREATE MACRO core.no_fault_in(
    from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg, window_arg
) AS TABLE
WITH chosen AS (
    SELECT *
    FROM core.jobs_in(
        from_arg, to_arg, branch_arg, technician_arg, kind_arg, symptom_arg, group_arg
    )
    WHERE is_complaint
        AND disposition IN ('repaired', 'no_fault_found', 'declined', 'beyond_repair', 'referred')
),

returned AS (
    SELECT
        chosen.job_id,
        min(date_diff('day', chosen.closed_on, later.opened_on)) AS returned_days,
        max(
            CASE WHEN later.disposition = 'repaired'
                    AND coalesce(later.cause_class, 'none_found') <> 'none_found'
                THEN 1
                ELSE 0
            END
        ) AS is_fault_later,
    FROM chosen
    INNER JOIN core.jobs AS later
        ON chosen.unit_key = later.unit_key AND chosen.job_id <> later.job_id
    WHERE chosen.disposition = 'no_fault_found'
        AND later.disposition <> 'cancelled'
        AND date_diff('day', chosen.closed_on, later.opened_on) BETWEEN 0 AND window_arg
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
),

unstable AS (
    SELECT DISTINCT job_id FROM core.readings WHERE ' ' || flags || ' ' LIKE '% unstable %'
)

SELECT
    chosen.*,
    chosen.disposition = 'no_fault_found' AS is_no_fault,
    chosen.days_since_closed >= window_arg AS is_mature,
    returned.returned_days,
    coalesce(returned.is_fault_later = 1, FALSE) AS is_fault_later,
    unstable.job_id IS NOT NULL AS is_unstable,
FROM chosen
LEFT JOIN returned ON chosen.job_id = returned.job_id
LEFT JOIN unstable ON chosen.job_id = unstable.job_id;
