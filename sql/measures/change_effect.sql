-- Did a noted change work: how often, or how much per job, before and after, for the same work?
-- grain: one row per side, period, month of closing, kind and complaint.
-- unit: jobs; amount in minutes or the shop's currency, squares in its square; of shares both are hits.
-- counts: the jobs of core.change_jobs_in for $measured around $changed_on, closed from $before_from to
--         $after_to (at most a year each way). hits = jobs that show the measured figure among `jobs` that can
--         be judged (past the callback window where it needs one); not_judged = the others. For an
--         amount per job: its sum and the sum of its squares.
--         Jobs opened before the change and closed after it are on neither side (is_after NULL).
--         The effect (dashboard/changes/compute.py): within each kind and complaint the share after
--         less the share before, weighted by n1·n0/(n1 + n0) (Mantel–Haenszel risk difference; of an amount
--         the mean after less the mean before, with the same weights: least squares with a level for
--         each kind and complaint); the
--         same for jobs that the change does not touch is subtracted where each side has
--         $min_jobs jobs or more before and after (difference in differences). Left out: a bad month
--         among the four up to the change (2.5 standard errors to the wrong side of the other months:
--         the month after a bad one is usually better anyway), and any month of either side beyond 3.
--         A side ends at another noted change that may touch the same jobs.
-- source: Greenland and Robins (1985), Biometrics 41:55 (risk difference); Sato (1989), Biometrics
--         45:1323 (its variance, sound for few large and for many small strata); White (1980),
--         Econometrica 48:817 (HC1, the variance of a difference of means).
SELECT
    is_touched,
    is_after,
    closed_month AS month,
    appliance_kind,
    symptom,
    count(amount) AS jobs,
    count(*) FILTER (WHERE is_hit) AS hits,
    count(*) FILTER (WHERE amount IS NULL) AS not_judged,
    coalesce(sum(amount), 0) AS amount,
    coalesce(sum(amount * amount), 0) AS squares,
FROM core.change_jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days, $measured,
    $changed_on, $before_from, $after_to, $on_branch, $on_technician, $on_kind, $on_symptom,
    $on_part
)
GROUP BY is_touched, is_after, closed_month, appliance_kind, symptom
ORDER BY is_touched, is_after, month, appliance_kind, symptom;
