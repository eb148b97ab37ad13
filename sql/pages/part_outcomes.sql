-- How often a replaced part was at fault, by what the readings said of it: for the chance shown.
-- grain: one row per ratio and posterior odds, first and second parts apart.
-- unit: parts (one per job and component); log_ratio, log_odds = natural logarithms, as in core.evidence_patterns.
-- counts: of the whole shop, whatever the filter: parts of judged jobs (past the window, appliance and
--         diagnosis known). held = no wrong diagnosis, or the final cause names the part. A part that the final cause
--         does not name, of a job that held, is left out: what it did is unknown. seen_share =
--         the setting: of wrong diagnoses, those that a later visit or a callback shows.
SELECT
    evidence.log_ratio,
    evidence.log_odds,
    evidence.is_second,
    count(*) AS parts,
    count(*) FILTER (WHERE NOT (jobs.is_wrong AND evidence.is_other)) AS held,
    $wrong_seen_share::DOUBLE AS seen_share,
FROM core.patterns_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, $window_days, NULL) AS jobs
INNER JOIN core.part_evidence AS evidence ON jobs.job_id = evidence.job_id
WHERE jobs.is_wrong IS NOT NULL
    AND evidence.log_ratio IS NOT NULL
    AND (jobs.is_wrong OR NOT evidence.is_other)
GROUP BY evidence.log_ratio, evidence.log_odds, evidence.is_second
ORDER BY log_odds, log_ratio, is_second;
