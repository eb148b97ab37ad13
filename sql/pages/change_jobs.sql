-- The jobs behind a noted change, newest first.
-- grain: one row per job.
-- unit: minutes; money in the shop's currency; whole days.
-- counts: those of measures/change_effect that can be judged; $is_after (NULL: either, and between), $is_touched choose the side,
--         $hits = TRUE only those that show the measured figure. amount as in core.change_jobs_in.
SELECT
    job_id,
    closed_on,
    technician,
    appliance_kind,
    symptom,
    cause,
    attended_visits,
    labour_min,
    charged,
    callback_days,
    amount,
FROM core.change_jobs_in(
    $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days, $measured,
    $changed_on, $before_from, $after_to, $on_branch, $on_technician, $on_kind, $on_symptom,
    $on_part
)
WHERE amount IS NOT NULL
    AND is_touched = $is_touched::BOOLEAN
    AND ($is_after::BOOLEAN IS NULL OR is_after = $is_after::BOOLEAN)
    AND (is_hit OR NOT coalesce($hits::BOOLEAN, FALSE))
ORDER BY closed_on DESC, job_id;
