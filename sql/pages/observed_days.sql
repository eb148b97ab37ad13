-- How long each counted repair was seen, and whether it came back.
-- grain: one row per counted job.
-- unit: days, at most the horizon of callbacks.
SELECT
    job_id,
    observed_days,
    callback_days IS NOT NULL AS has_callback,
FROM core.job_facts
WHERE is_counted AND closed_on IS NOT NULL
ORDER BY job_id;
