-- The waiting rows of one source of visits, as written, with their reasons.
-- grain: one row per source row; `reference` is what a corrected row says it replaces.
SELECT
    visits.*,
    visits.source_id || '-' || visits.row_no AS reference,
    reasons.reasons,
FROM raw.visits AS visits
INNER JOIN core.waiting_reasons('visits', $source_id) AS reasons
    ON visits.row_id = reasons.row_id
WHERE visits.source_id = $source_id
ORDER BY visits.row_id;
