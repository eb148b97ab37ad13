-- The jobs of a period with what a month is compared by.
-- grain: one row per closed job.
-- unit: minutes; money in the shop's currency.
SELECT
    job_id,
    closed_month,
    labour_min,
    charged::DOUBLE AS charged,
    attended_visits,
    repair_code,
    appliance_kind,
FROM core.jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL
)
ORDER BY closed_on, job_id;
