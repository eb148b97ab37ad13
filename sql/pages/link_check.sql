-- Two jobs side by side: all that decides whether the later one is a callback of the earlier one.
-- grain: one row when both job numbers are known and differ, else none.
-- unit: days = whole days from the earlier job's closing to the later one's opening.
-- counts: earlier = of two linked jobs the first one; else the one that closed first (ties: opened
--         first, smaller number); a job not closed comes last. is_same_unit NULL = not known of one.
--         is_opened_later = by day, time, number. is_returned_to = both opened on one day, and a job
--         opened before the later one is recorded as its callback.
WITH pair AS (
    SELECT
        jobs.job_id,
        row_number() OVER (
            ORDER BY
                links.first_job IS NOT NULL,
                closed_on NULLS LAST,
                opened_on,
                coalesce(opened_minute, 0),
                core.number_key(jobs.job_id),
                jobs.job_id
        ) AS place,
        row_number() OVER (
            ORDER BY
                opened_on, coalesce(opened_minute, 0), core.number_key(jobs.job_id), jobs.job_id
        ) AS opening,
    FROM core.jobs AS jobs
    LEFT JOIN core.callback_links AS links
        ON jobs.job_id = links.callback_job
        AND links.first_job IN ($first_job, $second_job)
    WHERE jobs.job_id IN ($first_job, $second_job)
),

returned_to AS (
    SELECT DISTINCT links.first_job,
    FROM core.callback_links AS links
    INNER JOIN core.jobs AS jobs ON links.callback_job = jobs.job_id
    INNER JOIN core.jobs AS earlier
        ON links.first_job = earlier.job_id AND jobs.opened_on = earlier.opened_on
    WHERE (coalesce(jobs.opened_minute, 0), core.number_key(jobs.job_id), jobs.job_id)
        < (coalesce(earlier.opened_minute, 0), core.number_key(earlier.job_id), earlier.job_id)
)

SELECT
    earlier.job_id AS earlier_job,
    later.job_id AS later_job,
    earlier.closed_on,
    later.opened_on,
    date_diff('day', earlier.closed_on, later.opened_on)::INTEGER AS days,
    earlier.disposition AS earlier_disposition,
    later.disposition AS later_disposition,
    earlier.unit_key = later.unit_key AS is_same_unit,
    earlier.appliance_kind AS earlier_kind,
    later.appliance_kind AS later_kind,
    earlier.symptom AS earlier_symptom,
    later.symptom AS later_symptom,
    earlier.symptom_family AS earlier_family,
    later.symptom_family AS later_family,
    later.callback_of AS written_callback_of,
    links.first_job AS linked_to,
    coalesce(links.is_explicit, FALSE) AS is_explicit,
    first_place.opening < second_place.opening AS is_opened_later,
    returned_to.first_job IS NOT NULL AND earlier.opened_on = later.opened_on AS is_returned_to,
FROM pair AS first_place
INNER JOIN pair AS second_place ON first_place.place = 1 AND second_place.place = 2
INNER JOIN core.jobs AS earlier ON first_place.job_id = earlier.job_id
INNER JOIN core.jobs AS later ON second_place.job_id = later.job_id
LEFT JOIN core.callback_links AS links ON later.job_id = links.callback_job
LEFT JOIN returned_to ON later.job_id = returned_to.first_job;
