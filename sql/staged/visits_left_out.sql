-- The visit rows that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per source row of a visits table that is not in core.visits.
-- counts: as staged.jobs_left_out, by job number and visit; a visit follows its job.
CREATE TABLE staged.visits_left_out AS
WITH keyed AS (
    SELECT
        visits.row_id,
        visits.source_id,
        visits.job_id,
        coalesce(visits.visit_no, 0) AS number_key,
        coalesce(visit_keys.visit_key, 0) AS visit_key,
        visits.content_hash,
        visits.problems,
        visits.mends,
    FROM staged.visits AS visits
    LEFT JOIN staged.visit_keys AS visit_keys ON visits.row_id = visit_keys.row_id
    WHERE visits.job_id IS NOT NULL
),

repeated AS (
    SELECT job_id, number_key, visit_key
    FROM keyed
    GROUP BY job_id, number_key, visit_key
    HAVING count(*) > 1
),

several AS (
    SELECT
        keyed.*,
        min(keyed.row_id) OVER (
            PARTITION BY
                keyed.job_id, keyed.number_key, keyed.visit_key, keyed.source_id, keyed.content_hash
        ) AS place,
    FROM keyed
    INNER JOIN repeated
        ON keyed.job_id = repeated.job_id
        AND keyed.number_key = repeated.number_key
        AND keyed.visit_key = repeated.visit_key
),

firsts AS (
    SELECT job_id, number_key, visit_key, source_id, min(place) AS place
    FROM several
    WHERE problems = ''
    GROUP BY job_id, number_key, visit_key, source_id
),

seconds AS (
    SELECT several.row_id, several.job_id, several.content_hash,
    FROM several
    INNER JOIN firsts
        ON several.job_id = firsts.job_id
        AND several.number_key = firsts.number_key
        AND several.visit_key = firsts.visit_key
        AND several.source_id = firsts.source_id
        AND several.place <> firsts.place
    WHERE several.problems = ''
),

sent_back AS (
    SELECT several.row_id
    FROM several
    INNER JOIN (SELECT DISTINCT job_id, content_hash FROM seconds) AS waiting
        ON several.job_id = waiting.job_id AND several.content_hash = waiting.content_hash
    WHERE several.mends IS NOT NULL AND several.problems = ''
    UNION
    SELECT row_id FROM seconds
),

judged AS (
    SELECT
        several.row_id,
        several.job_id,
        several.number_key,
        several.visit_key,
        several.content_hash,
        several.place,
        CASE
            WHEN sent_back.row_id IS NOT NULL THEN 'second_row_of_visit@visit_no'
            ELSE several.problems
        END AS problems,
    FROM several
    LEFT JOIN sent_back ON several.row_id = sent_back.row_id
),

versions AS (
    SELECT
        job_id,
        number_key,
        visit_key,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(min(CASE WHEN problems = '' THEN row_id END), min(row_id)) AS first_row,
        max(place) AS last_place,
    FROM judged
    GROUP BY job_id, number_key, visit_key, content_hash
),

newest AS (
    SELECT job_id, number_key, visit_key, max(last_place) AS last_place
    FROM versions
    WHERE is_usable
    GROUP BY job_id, number_key, visit_key
),

corrected AS (
    SELECT DISTINCT mends AS reference
    FROM staged.visits
    WHERE mends IS NOT NULL
),

compared AS (
    SELECT
        visits.row_id,
        visits.source_id,
        visits.row_no,
        visits.job_id,
        coalesce(judged.problems, visits.problems) AS problems,
        versions.first_row,
        versions.last_place,
        newest.last_place AS newest_place,
        corrected.reference IS NOT NULL AS is_corrected,
    FROM staged.visits AS visits
    LEFT JOIN judged ON visits.row_id = judged.row_id
    LEFT JOIN versions
        ON judged.job_id = versions.job_id
        AND judged.number_key = versions.number_key
        AND judged.visit_key = versions.visit_key
        AND judged.content_hash = versions.content_hash
    LEFT JOIN newest
        ON judged.job_id = newest.job_id
        AND judged.number_key = newest.number_key
        AND judged.visit_key = newest.visit_key
    LEFT JOIN corrected ON corrected.reference = visits.source_id || '-' || visits.row_no
),

statuses AS (
    SELECT
        row_id,
        source_id,
        row_no,
        job_id,
        problems,
        CASE
            WHEN first_row IS NULL AND problems = '' THEN 'loaded'
            WHEN last_place = newest_place
            THEN CASE WHEN row_id = first_row THEN 'loaded' ELSE 'duplicate' END
            WHEN newest_place > last_place OR is_corrected THEN 'superseded'
            ELSE 'quarantined'
        END AS status,
    FROM compared
)

SELECT row_id, source_id, row_no, job_id, problems, status,
FROM statuses
WHERE status <> 'loaded';
