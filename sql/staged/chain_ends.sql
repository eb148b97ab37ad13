-- Where the chain of callbacks after a job ends: its last repaired job, and the last cause found in it.
-- grain: one row per repaired job that came back and was repaired again.
-- counts: from each job on to its repaired callback (of several the one that closed last), at most 256
--         times: each CTE doubles the number of callbacks followed. cause_job = the last job of the
--         chain, the first one left out, that has a recorded cause; NULL = none has.
CREATE TABLE staged.chain_ends AS
WITH hops_1 AS (
    SELECT
        links.first_job,
        links.callback_job AS end_job,
        CASE WHEN jobs.cause_component IS NOT NULL THEN jobs.job_id END AS cause_job,
    FROM core.callback_links AS links
    INNER JOIN core.jobs AS jobs
        ON links.callback_job = jobs.job_id AND jobs.disposition = 'repaired'
    QUALIFY row_number() OVER (
        PARTITION BY links.first_job
        ORDER BY jobs.closed_on DESC, core.number_key(jobs.job_id) DESC, jobs.job_id DESC
    ) = 1
),

hops_2 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_1 AS near
    LEFT JOIN hops_1 AS far ON near.end_job = far.first_job
),

hops_4 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_2 AS near
    LEFT JOIN hops_2 AS far ON near.end_job = far.first_job
),

hops_8 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_4 AS near
    LEFT JOIN hops_4 AS far ON near.end_job = far.first_job
),

hops_16 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_8 AS near
    LEFT JOIN hops_8 AS far ON near.end_job = far.first_job
),

hops_32 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_16 AS near
    LEFT JOIN hops_16 AS far ON near.end_job = far.first_job
),

hops_64 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_32 AS near
    LEFT JOIN hops_32 AS far ON near.end_job = far.first_job
),

hops_128 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_64 AS near
    LEFT JOIN hops_64 AS far ON near.end_job = far.first_job
),

hops_256 AS (
    SELECT
        near.first_job,
        coalesce(far.end_job, near.end_job) AS end_job,
        coalesce(far.cause_job, near.cause_job) AS cause_job,
    FROM hops_128 AS near
    LEFT JOIN hops_128 AS far ON near.end_job = far.first_job
)

SELECT first_job, end_job, cause_job,
FROM hops_256;
