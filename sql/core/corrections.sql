-- Diagnoses that a later visit of the same job corrected.
-- grain: one row per repaired complaint whose first diagnosis was corrected.
-- unit: lost_min = minutes on the job and on the road of the visits after wrong_visit.
-- counts: a part was fitted, or a visit ended as misdiagnosis, and a later attended visit fitted or
--         repaired another component, which the recorded cause names. Parts of a companion, and parts
--         on an unknown visit, correct nothing. first_component = the component of the first part that
--         was not it; NULL where only the visit's outcome says so.
CREATE TABLE core.corrections AS
WITH jobs AS (
    SELECT job_id, appliance_kind, recorded_component,
    FROM core.job_facts
    WHERE is_repaired AND is_complaint AND closed_on IS NOT NULL
        AND coalesce(recorded_component, 'none') <> 'none'
),

last_visits AS (
    SELECT job_id, max(visit_no) AS last_visit,
    FROM core.visits
    WHERE is_attended
    GROUP BY job_id
),

suspected AS (
    SELECT job_id, component, visit_no, FROM core.fitted_parts
    UNION ALL
    SELECT job_id, NULL, visit_no,
    FROM core.visits
    WHERE is_attended AND repeat_reason = 'misdiagnosed'
),

wrong AS (
    SELECT
        jobs.job_id,
        min(suspected.visit_no) AS wrong_visit,
        arg_min(suspected.component, (suspected.visit_no, suspected.component)) FILTER (
            WHERE suspected.component IS NOT NULL
        ) AS first_component,
    FROM jobs
    INNER JOIN suspected ON jobs.job_id = suspected.job_id
    INNER JOIN last_visits ON jobs.job_id = last_visits.job_id
    LEFT JOIN core.fitted_parts AS named
        ON jobs.job_id = named.job_id AND jobs.recorded_component = named.component
    LEFT JOIN core.companions AS companions
        ON jobs.appliance_kind = companions.appliance_kind
        AND jobs.recorded_component = companions.component
        AND suspected.component = companions.companion
    WHERE suspected.visit_no < last_visits.last_visit
        AND coalesce(suspected.component, '') <> jobs.recorded_component
        AND companions.component IS NULL
        AND (named.job_id IS NULL OR named.visit_no > suspected.visit_no)
    GROUP BY jobs.job_id
)

SELECT
    wrong.job_id,
    wrong.wrong_visit,
    wrong.first_component,
    sum(coalesce(visits.labour_min, 0) + coalesce(visits.travel_min, 0)) AS lost_min,
FROM wrong
INNER JOIN core.visits AS visits
    ON wrong.job_id = visits.job_id AND visits.visit_no > wrong.wrong_visit
GROUP BY wrong.job_id, wrong.wrong_visit, wrong.first_component
ORDER BY wrong.job_id;
