-- The last jobs of one complaint, those of the brand and model first.
-- grain: one row per closed job, five at most.
-- unit: minutes; days.
SELECT
    job_id,
    closed_on,
    brand,
    model,
    final_cause AS cause,
    repair_code,
    disposition,
    attended_visits,
    labour_min,
    callback_days,
    core.is_this(brand, $brand::VARCHAR) AND core.is_this(model, $model::VARCHAR) AS is_near,
FROM core.jobs_in($from_date, $to_date, $branch, $technician, NULL, NULL, NULL)
WHERE appliance_kind = $kind::VARCHAR AND symptom = $complaint::VARCHAR
ORDER BY is_near DESC, closed_on DESC, job_id DESC
LIMIT 5;
