-- Does one repair take different times on different models, so that it needs two prices?
-- grain: one row per appliance kind, repair, model and minutes of a job; the measure
--         (dashboard/pricing/model_groups.py) gives two rows, quick and slow, per repair compared.
-- unit: minutes of the job, return trips in; jobs; ratio = slow over quick typical minutes.
-- counts: as flat_rate: repaired complaints with a repair code that is a repair, returns under
--         warranty left out; only jobs with their minutes and their model. Models with fewer than 5
--         such jobs are not compared. p_value: that all models of a repair take alike times; q_value:
--         over all repairs compared. The parting is chosen on half of the jobs and measured on the
--         other half. flagged: q_value at most 0.05, ratio surely above 1, 10 jobs on each side.
-- source: Kruskal & Wallis 1952; Benjamini & Hochberg 1995; parting by least variance (Fisher 1958).
WITH timed AS (
    SELECT
        appliance_kind,
        repair_code,
        concat_ws(' ', brand, model) AS model,
        labour_min,
    FROM core.jobs_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
    )
    WHERE is_repaired
        AND is_complaint
        AND repair_code IS NOT NULL
        AND repair_code <> 'no_repair_possible'
        AND model IS NOT NULL
        AND labour_min > 0
        AND job_id NOT IN (
            SELECT callback_job FROM core.callback_links WHERE callback_days <= $warranty_days
        )
)

SELECT
    appliance_kind,
    repair_code,
    model,
    labour_min,
    count(*) AS jobs,
FROM timed
GROUP BY appliance_kind, repair_code, model, labour_min
ORDER BY appliance_kind, repair_code, model, labour_min;
