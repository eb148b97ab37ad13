-- The replaced parts of the jobs that show a pattern, with what the readings said: for their chance.
-- grain: one row per ratio and posterior odds, first and second parts apart.
-- unit: parts; log_ratio, log_odds = natural logarithms, as in core.evidence_patterns.
-- counts: as in pages/diagnosis_jobs; for not_tested and against only the parts with that evidence.
SELECT
    evidence.log_ratio,
    evidence.log_odds,
    evidence.is_second,
    count(*) AS parts,
    count(jobs.is_wrong) AS judged,
    count(*) FILTER (WHERE jobs.is_wrong IS NOT NULL AND NOT (jobs.is_wrong AND evidence.is_other))
        AS held,
FROM core.patterns_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $group_by, $window_days,
    $pattern
) AS jobs
INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
WHERE jobs.has_pattern
    AND evidence.log_ratio IS NOT NULL
    AND ($group_value::VARCHAR IS NULL OR jobs.group_name = $group_value::VARCHAR)
    AND ($component::VARCHAR IS NULL OR evidence.component = $component::VARCHAR)
    AND CASE coalesce($pattern, 'wrong')
        WHEN 'not_tested' THEN evidence.evidence = 'not tested'
        WHEN 'against' THEN evidence.evidence = 'against'
        ELSE TRUE
    END
GROUP BY evidence.log_ratio, evidence.log_odds, evidence.is_second
ORDER BY log_odds, log_ratio, is_second;
