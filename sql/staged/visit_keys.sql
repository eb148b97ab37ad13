-- What makes two visit rows the same visit: its number, else job, technician and arrival.
-- grain: one row per visit row without a number.
-- counts: different rows of one source with the same technician and arrival are different visits,
--         the n-th of one source is the n-th of the next.
CREATE TABLE staged.visit_keys AS
WITH firsts AS (
    SELECT
        source_id,
        job_id,
        technician,
        arrived_at,
        content_hash,
        min(row_id) AS first_row,
    FROM staged.visits
    WHERE visit_no IS NULL AND job_id IS NOT NULL
    GROUP BY source_id, job_id, technician, arrived_at, content_hash
),

numbered AS (
    SELECT
        *,
        row_number() OVER (
            PARTITION BY source_id, job_id, technician, arrived_at ORDER BY first_row
        ) AS place,
    FROM firsts
)

SELECT
    visits.row_id,
    hash(visits.technician, visits.arrived_at, numbered.place) AS visit_key,
FROM staged.visits AS visits
INNER JOIN numbered
    ON visits.source_id = numbered.source_id
    AND visits.job_id = numbered.job_id
    AND visits.content_hash = numbered.content_hash
WHERE visits.visit_no IS NULL;
