-- The job rows that are not loaded, and why: a copy, an older version, or quarantined.
-- grain: one row per source row of a jobs table that is not in core.jobs.
-- counts: of one job number the newest row that can be used is loaded; its exact copies are
--         duplicates; other versions before it are superseded, unusable ones after it quarantined.
--         Of one job in one source the first usable row counts and a different one after it waits
--         (second_row_of_job): only a later source corrects an earlier one. A waiting second row that
--         is sent back as it was (mends) waits on. Only job numbers that more than one row names need
--         the comparison. An invoice line that is not its job's first shares the fate of the first,
--         also where that is loaded.
CREATE TABLE staged.jobs_left_out AS
WITH repeated AS (
    SELECT job_id
    FROM staged.jobs
    WHERE job_id IS NOT NULL
    GROUP BY job_id
    HAVING count(*) > 1
),

several AS (
    SELECT
        jobs.row_id,
        jobs.source_id,
        jobs.job_id,
        jobs.content_hash,
        jobs.problems,
        jobs.mends,
        min(jobs.row_id) OVER (
            PARTITION BY jobs.job_id, jobs.source_id, jobs.content_hash
        ) AS place,
    FROM staged.jobs AS jobs
    INNER JOIN repeated ON jobs.job_id = repeated.job_id
),

firsts AS (
    SELECT job_id, source_id, min(place) AS place
    FROM several
    WHERE problems = ''
    GROUP BY job_id, source_id
),

seconds AS (
    SELECT several.row_id, several.job_id, several.content_hash,
    FROM several
    INNER JOIN firsts
        ON several.job_id = firsts.job_id
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
        several.content_hash,
        several.place,
        CASE
            WHEN sent_back.row_id IS NOT NULL THEN 'second_row_of_job@job_id'
            ELSE several.problems
        END AS problems,
    FROM several
    LEFT JOIN sent_back ON several.row_id = sent_back.row_id
),

versions AS (
    SELECT
        job_id,
        content_hash,
        bool_or(problems = '') AS is_usable,
        coalesce(min(CASE WHEN problems = '' THEN row_id END), min(row_id)) AS first_row,
        max(place) AS last_place,
    FROM judged
    GROUP BY job_id, content_hash
),

newest AS (
    SELECT job_id, max(last_place) AS last_place
    FROM versions
    WHERE is_usable
    GROUP BY job_id
),

corrected AS (
    SELECT DISTINCT mends AS reference
    FROM staged.jobs
    WHERE mends IS NOT NULL
),

compared AS (
    SELECT
        jobs.row_id,
        jobs.source_id,
        jobs.row_no,
        coalesce(judged.problems, jobs.problems) AS problems,
        versions.first_row,
        versions.last_place,
        newest.last_place AS newest_place,
        corrected.reference IS NOT NULL AS is_corrected,
    FROM staged.jobs AS jobs
    LEFT JOIN judged ON jobs.row_id = judged.row_id
    LEFT JOIN versions
        ON judged.job_id = versions.job_id AND judged.content_hash = versions.content_hash
    LEFT JOIN newest ON judged.job_id = newest.job_id
    LEFT JOIN corrected ON corrected.reference = jobs.source_id || '-' || jobs.row_no
),

statuses AS (
    SELECT
        row_id,
        source_id,
        row_no,
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

SELECT row_id, source_id, row_no, problems, status,
FROM statuses
WHERE status <> 'loaded'
UNION ALL
SELECT
    lines.row_id,
    lines.source_id,
    lines.row_no,
    CASE WHEN lines.problems <> '' THEN lines.problems ELSE statuses.problems END,
    statuses.status,
FROM staged.job_lines AS lines
INNER JOIN statuses ON lines.head_row = statuses.row_id
WHERE lines.row_id <> lines.head_row;
