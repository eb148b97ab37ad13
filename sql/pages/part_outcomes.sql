-- How often a replaced part was at fault, by what the readings said of it: for the chance shown.
-- grain: one row per ratio and posterior odds.
-- unit: parts (one per job and component); log_ratio, log_odds = natural logarithms, as in core.evidence_patterns.
-- counts: of the whole shop, whatever the filter: parts of judged jobs (past the window, appliance and
--         diagnosis known). held = no wrong diagnosis, or the final cause names the part.
SELECT
    evidence.log_ratio,
    evidence.log_odds,
    count(*) AS parts,
    count(*) FILTER (WHERE NOT (jobs.is_wrong AND evidence.is_other)) AS held,
FROM core.patterns_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, $window_days, NULL) AS jobs
INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
WHERE jobs.is_wrong IS NOT NULL AND evidence.log_ratio IS NOT NULL
GROUP BY evidence.log_ratio, evidence.log_odds
ORDER BY log_odds, log_ratio;
