-- How long the repairs of one kind of appliance took.
-- grain: one row per repaired job of $kind with its minutes recorded.
-- unit: minutes on the job, all visits.
-- counts: is_complaint = of $complaint, is_near = also of $brand and $model (NULL = any). No
--         technician and no job number: these minutes name no one.
SELECT
    labour_min::DOUBLE AS labour_min,
    symptom = $complaint::VARCHAR AS is_complaint,
    symptom = $complaint::VARCHAR
        AND core.is_this(brand, $brand::VARCHAR)
        AND core.is_this(model, $model::VARCHAR)
        AS is_near,
FROM core.jobs_in($from_date, $to_date, $branch, NULL, NULL, NULL, NULL)
WHERE appliance_kind = $kind::VARCHAR AND is_repaired AND labour_min > 0
ORDER BY labour_min, is_complaint, is_near;
