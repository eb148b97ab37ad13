-- The waiting rows of one source of jobs, as written, with their reasons.
-- grain: one row per source row; `reference` is what a corrected row says it replaces.
SELECT
    jobs.*,
    jobs.source_id || '-' || jobs.row_no AS reference,
    reasons.reasons,
FROM raw.jobs AS jobs
INNER JOIN core.waiting_reasons('jobs', $source_id) AS reasons
    ON jobs.row_id = reasons.row_id
WHERE jobs.source_id = $source_id
ORDER BY jobs.row_id;
