-- The jobs of one technician that show a pattern, with each part replaced and what its readings said.
-- grain: one row per job and replaced component; a job without one has one row without component.
-- unit: log_ratio, log_odds as in core.evidence_patterns; money in the shop's currency; minutes.
-- counts: those of $pattern as in measures/misdiagnosis (wrong diagnoses when it is NULL); every judged
--         or unjudged repaired complaint when $pattern is 'any'.
SELECT
    jobs.job_id,
    jobs.closed_on,
    jobs.technician,
    jobs.appliance_kind,
    jobs.symptom,
    jobs.final_cause,
    jobs.is_wrong,
    jobs.wrong_min,
    jobs.wrong_parts_cost,
    evidence.component,
    evidence.evidence,
    evidence.log_ratio,
    evidence.log_odds,
    coalesce(evidence.is_second, FALSE) AS is_second,
FROM core.patterns_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, NULL, $window_days,
    $pattern
) AS jobs
LEFT JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
WHERE $pattern::VARCHAR = 'any' OR jobs.has_pattern
ORDER BY jobs.closed_on DESC, jobs.job_id, evidence.component;
