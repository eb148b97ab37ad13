-- Some stored jobs that would change between two builds (before, after), with what changes.
-- grain: at most three rows, one per job.
WITH pairs AS (
    SELECT
        coalesce(was.job_id, becomes.job_id) AS job_id,
        was,
        becomes,
    FROM before.core.jobs AS was
    FULL JOIN after.core.jobs AS becomes ON was.row_id = becomes.row_id
    WHERE was IS DISTINCT FROM becomes
)

SELECT
    job_id,
    concat_ws(
        ', ',
        CASE WHEN becomes.job_id IS NULL THEN 'would wait in quarantine' END,
        CASE WHEN was.job_id IS NULL THEN 'would be loaded' END,
        CASE WHEN was.job_id <> becomes.job_id THEN 'becomes ' || becomes.job_id END,
        CASE WHEN was.opened_on <> becomes.opened_on
            THEN 'opened ' || was.opened_on || ' → ' || becomes.opened_on END,
        CASE WHEN was.closed_on <> becomes.closed_on
            THEN 'closed ' || was.closed_on || ' → ' || becomes.closed_on END,
        CASE WHEN was.charged IS DISTINCT FROM becomes.charged
            AND was.job_id IS NOT NULL AND becomes.job_id IS NOT NULL
            THEN 'charged ' || coalesce(was.charged::VARCHAR, 'nothing')
                || ' → ' || coalesce(becomes.charged::VARCHAR, 'nothing') END,
        CASE WHEN was.disposition <> becomes.disposition
            THEN was.disposition || ' → ' || becomes.disposition END,
        CASE WHEN was.symptom <> becomes.symptom
            THEN was.symptom || ' → ' || becomes.symptom END
    ) AS what,
FROM pairs
ORDER BY job_id
LIMIT 3;
