-- The voltage that feeds each job: 240 V, or two phases of 208Y/120 V.
-- grain: one row per job.
-- unit: volts, as the register writes them.
-- counts: what the legs of the job show (both legs and both together read, each leg at least 108 V),
--         else the setting of the branch, else of the shop, else 240.
-- source: leg to leg is sqrt(3) times a leg on 208Y/120 V, twice a leg on 240 V.
CREATE TABLE staged.service_volts AS
WITH legs AS (
    SELECT
        job_id,
        max(base_value) FILTER (WHERE test_point = 'supply_l1_n_v') AS first_leg,
        max(base_value) FILTER (WHERE test_point = 'supply_l2_n_v') AS second_leg,
        max(base_value) FILTER (WHERE test_point NOT IN ('supply_l1_n_v', 'supply_l2_n_v'))
            AS both_legs,
    FROM core.readings
    WHERE comparator = ''
        AND base_unit = 'V'
        AND test_point IN (
            'supply_l1_n_v', 'supply_l2_n_v',
            'supply_l1_l2_v', 'block_l1_l2_v', 'block_l1_l2_v_range'
        )
    GROUP BY job_id
),

of_legs AS (
    SELECT
        job_id,
        CASE WHEN both_legs < 0.933 * (first_leg + second_leg) THEN '208' ELSE '240' END AS volts,
    FROM legs
    WHERE first_leg >= 108
        AND second_leg >= 108
        AND both_legs > 1.5 * greatest(first_leg, second_leg)
)

SELECT
    jobs.job_id,
    coalesce(of_legs.volts, of_branch.value, of_shop.value, '240') AS service_volts,
FROM core.jobs AS jobs
LEFT JOIN of_legs ON jobs.job_id = of_legs.job_id
LEFT JOIN core.settings AS of_branch ON of_branch.key = 'service_volts: ' || jobs.branch
LEFT JOIN core.settings AS of_shop ON of_shop.key = 'service_volts';
