-- The ROC curve of one test point: what each possible limit finds and spares.
-- grain: one row per distinct reading, from the one that condemns fewest; open is above all.
-- unit: value in the test point's unit (NULL = open); shares are fractions.
-- counts: as measures/limit_review.
WITH readings AS (
    SELECT
        CASE WHEN is_open THEN 'infinity'::DOUBLE ELSE value END AS value,
        is_bad,
        is_good,
    FROM core.settled_readings_in(
        $from_date, $to_date, $branch, $technician, $appliance_kind, $symptom, $window_days
    )
    WHERE test_point = $test_point
),

steps AS (
    SELECT
        value,
        count(*) FILTER (WHERE is_bad) AS bad,
        count(*) FILTER (WHERE is_good) AS good,
    FROM readings
    WHERE is_bad OR is_good
    GROUP BY value
)

SELECT
    CASE WHEN isinf(value) THEN NULL ELSE value END AS value,
    sum(bad) OVER above / nullif(sum(bad) OVER (), 0) AS found_above,
    sum(good) OVER above / nullif(sum(good) OVER (), 0) AS blamed_above,
FROM steps
WINDOW above AS (ORDER BY steps.value DESC)
ORDER BY steps.value DESC;
