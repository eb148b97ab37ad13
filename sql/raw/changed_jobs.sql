-- How many stored jobs would change between two builds (before, after), and how many more rows wait?
-- counts: another name of a numbering is no change.
-- grain: exactly one row: stored jobs, changed jobs, more rows in quarantine.
WITH changed AS (
    SELECT job_id FROM (
        SELECT * EXCLUDE (numbering) FROM before.core.jobs
        EXCEPT ALL
        SELECT * EXCLUDE (numbering) FROM after.core.jobs
    )
    UNION
    SELECT job_id FROM (
        SELECT * EXCLUDE (numbering) FROM after.core.jobs
        EXCEPT ALL
        SELECT * EXCLUDE (numbering) FROM before.core.jobs
    )
    UNION
    SELECT job_id FROM (FROM before.core.visits EXCEPT ALL FROM after.core.visits)
    UNION
    SELECT job_id FROM (FROM after.core.visits EXCEPT ALL FROM before.core.visits)
    UNION
    SELECT job_id FROM (FROM before.core.readings EXCEPT ALL FROM after.core.readings)
    UNION
    SELECT job_id FROM (FROM after.core.readings EXCEPT ALL FROM before.core.readings)
    UNION
    SELECT job_id FROM (FROM before.core.part_lines EXCEPT ALL FROM after.core.part_lines)
    UNION
    SELECT job_id FROM (FROM after.core.part_lines EXCEPT ALL FROM before.core.part_lines)
)

SELECT
    (SELECT count(*) FROM before.core.jobs) AS stored,
    (SELECT count(*) FROM changed) AS changed,
    (SELECT sum(quarantined) FROM after.core.accounts)::BIGINT
        - (SELECT sum(quarantined) FROM before.core.accounts)::BIGINT AS waiting;
