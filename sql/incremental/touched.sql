-- The jobs that the new rows can change: those they name, and all that hang together with them.
-- grain: one row per job number.
-- counts: jobs hang together by their appliance or by a recorded callback, in the old version or in
--         the new rows (built as fresh). With them one job with readings of every mapping that has
--         any, for whether a source records readings at all holds for a mapping as a whole.
CREATE OR REPLACE TABLE touched.jobs AS
WITH RECURSIVE named AS (
    SELECT job_id FROM whole.raw.jobs WHERE source_id >= getvariable('first_new')
    UNION
    SELECT job_id FROM whole.raw.visits WHERE source_id >= getvariable('first_new')
    UNION
    SELECT job_id FROM whole.raw.readings WHERE source_id >= getvariable('first_new')
    UNION
    SELECT job_id FROM whole.raw.part_lines WHERE source_id >= getvariable('first_new')
    UNION
    SELECT min(jobs.job_id)
    FROM whole.core.jobs AS jobs
    INNER JOIN whole.core.job_facts AS facts ON jobs.job_id = facts.job_id AND facts.readings > 0
    GROUP BY jobs.mapping
),

known AS (
    SELECT job_id, unit_key, callback_of FROM whole.core.jobs
    UNION ALL
    SELECT job_id, unit_key, callback_of FROM fresh.core.jobs
),

ties AS MATERIALIZED (
    SELECT job_id, 'unit ' || unit_key AS tie FROM known WHERE unit_key IS NOT NULL
    UNION
    SELECT job_id, 'job ' || callback_of FROM known WHERE callback_of IS NOT NULL
    UNION
    SELECT callback_of, 'job ' || callback_of FROM known WHERE callback_of IS NOT NULL
),

reached AS (
    SELECT job_id FROM named WHERE job_id IS NOT NULL
    UNION
    SELECT others.job_id
    FROM reached
    INNER JOIN ties AS mine ON reached.job_id = mine.job_id
    INNER JOIN ties AS others ON mine.tie = others.tie
)

SELECT job_id FROM reached;
