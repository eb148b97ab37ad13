-- Every test of a closed job once: what it said first, how long it took, and what was tested before it.
-- grain: one row per job and test point, in order of closing.
-- unit: minutes.
-- counts: verdict = the first decision inside or outside of the job's readings there; without one
--         doubtful when any reading is, else opinion. settled_cause = the final cause of a repaired
--         job, where one was found. chain_step = the place in the register's chain of the complaint,
--         NULL when the test is not in it; earlier_tests adds up 2 to the power of chain_step over the
--         tests of the chain that the job made before this one.
CREATE TABLE core.first_tests AS
WITH tests AS (
    SELECT
        job_id,
        test_point,
        min(seq) AS seq,
        min(test_min) AS test_min,
        min(seq) FILTER (WHERE decision = 'inside') AS inside_seq,
        min(seq) FILTER (WHERE decision = 'outside') AS outside_seq,
        count(*) FILTER (WHERE decision = 'doubtful') AS doubtful,
    FROM core.reading_facts
    WHERE closed_on IS NOT NULL
    GROUP BY job_id, test_point
),

placed AS (
    SELECT
        jobs.job_id,
        jobs.closed_on,
        jobs.branch,
        jobs.technician,
        jobs.appliance_kind,
        jobs.symptom,
        CASE WHEN jobs.is_repaired AND coalesce(jobs.final_cause_class, 'none_found') <> 'none_found'
            THEN jobs.final_cause
        END AS settled_cause,
        tests.* EXCLUDE (job_id),
        chains.usual_step AS chain_step,
        CASE WHEN chains.usual_step IS NOT NULL THEN pow(2, chains.usual_step) END AS chain_bit,
    FROM tests
    INNER JOIN core.job_facts AS jobs ON tests.job_id = jobs.job_id
    LEFT JOIN lookups.chains AS chains
        ON jobs.appliance_kind = chains.kind
        AND jobs.symptom = chains.symptom
        AND tests.test_point = chains.test_point
)

SELECT
    job_id,
    closed_on,
    branch,
    technician,
    appliance_kind,
    symptom,
    settled_cause,
    test_point,
    CASE
        WHEN inside_seq < outside_seq OR (inside_seq IS NOT NULL AND outside_seq IS NULL) THEN 'inside'
        WHEN outside_seq IS NOT NULL THEN 'outside'
        WHEN doubtful > 0 THEN 'doubtful'
        ELSE 'opinion'
    END AS verdict,
    test_min,
    chain_step,
    floor(sum(chain_bit) OVER (PARTITION BY job_id ORDER BY seq) - chain_bit)::BIGINT AS earlier_tests,
FROM placed
ORDER BY closed_on, job_id, test_point;
