-- What the readings say of every part replaced on a repaired job.
-- grain: one row per repaired job and replaced component.
-- unit: money in the shop's currency; visit_no = the visit on which the part first went in.
-- counts: readings of the part's own test points, and of tests that speak for it (pointing_tests),
--         taken on visits up to the one that fitted it (all readings where a visit is unknown).
--         Within that visit the records do not tell what came first. A reading counts by its
--         decision, the meter's error included.
--         Left out: tests of the part that the register calls blind to every failure of it (p < 0.05):
--         volts present at a pump say that its supply is good, not that the pump is.
--         supported = at least one outside; untested = no reading; contradicted = every one inside;
--         unclear = the rest: doubtful, or readings that nothing judges (opinions, ratios).
--         has_test = the register knows a test for this part; without one nobody could have tested.
--         Part lines of no known component, and lines of zero pieces, are left out.
CREATE TABLE core.part_evidence AS
WITH fitted AS (
    SELECT
        part_lines.job_id,
        part_lines.component,
        jobs.appliance_kind,
        jobs.symptom,
        min(part_lines.visit_no) AS visit_no,
        sum(part_lines.quantity) AS pieces,
        sum(core.line_money(part_lines.quantity, part_lines.unit_cost))::DOUBLE AS parts_cost,
    FROM core.part_lines AS part_lines
    INNER JOIN core.jobs AS jobs ON part_lines.job_id = jobs.job_id
    WHERE jobs.disposition = 'repaired'
        AND part_lines.component IS NOT NULL
        AND part_lines.quantity > 0
    GROUP BY part_lines.job_id, part_lines.component, jobs.appliance_kind, jobs.symptom
),

blind AS (
    SELECT matrix.kind AS appliance_kind, matrix.test_point,
    FROM lookups.cause_test_matrix AS matrix
    INNER JOIN lookups.causes AS causes
        ON matrix.kind = causes.kind AND matrix.cause = causes.cause
    INNER JOIN lookups.test_points AS points
        ON matrix.test_point = points.test_point AND causes.component = points.component
    GROUP BY matrix.kind, matrix.test_point
    HAVING max(matrix.p_out_of_limits) < 0.05
),

taken AS (
    SELECT
        fitted.job_id,
        fitted.component,
        readings.decision,
    FROM fitted
    INNER JOIN core.reading_facts AS readings
        ON fitted.job_id = readings.job_id
        AND coalesce(readings.visit_no <= fitted.visit_no, TRUE)
    LEFT JOIN core.pointing_tests AS pointing
        ON fitted.appliance_kind = pointing.appliance_kind
        AND fitted.symptom = pointing.symptom
        AND fitted.component = pointing.component
        AND readings.test_point = pointing.test_point
    LEFT JOIN blind
        ON fitted.appliance_kind = blind.appliance_kind
        AND readings.test_point = blind.test_point
    WHERE (readings.component = fitted.component AND blind.test_point IS NULL)
        OR pointing.test_point IS NOT NULL
),

sums AS (
    SELECT
        job_id,
        component,
        count(*) AS readings,
        count(*) FILTER (WHERE decision = 'outside') AS outside,
        count(*) FILTER (WHERE decision = 'inside') AS inside,
        count(*) FILTER (WHERE decision = 'doubtful') AS doubtful,
    FROM taken
    GROUP BY job_id, component
),

testable AS (
    SELECT DISTINCT kinds.kind AS appliance_kind, points.component,
    FROM lookups.test_points AS points
    INNER JOIN lookups.kinds AS kinds
        ON '|' || points.kinds LIKE '%|' || kinds.kind || '%'
    LEFT JOIN blind
        ON kinds.kind = blind.appliance_kind AND points.test_point = blind.test_point
    WHERE blind.test_point IS NULL
),

pointed AS (
    SELECT DISTINCT appliance_kind, symptom, component,
    FROM core.pointing_tests
)

SELECT
    fitted.*,
    coalesce(sums.readings, 0) AS readings,
    coalesce(sums.outside, 0) AS outside,
    coalesce(sums.inside, 0) AS inside,
    coalesce(sums.doubtful, 0) AS doubtful,
    testable.component IS NOT NULL OR pointed.component IS NOT NULL AS has_test,
    CASE
        WHEN sums.readings IS NULL THEN 'untested'
        WHEN sums.outside > 0 THEN 'supported'
        WHEN sums.inside = sums.readings THEN 'contradicted'
        ELSE 'unclear'
    END AS evidence,
FROM fitted
LEFT JOIN sums ON fitted.job_id = sums.job_id AND fitted.component = sums.component
LEFT JOIN testable
    ON fitted.appliance_kind = testable.appliance_kind
    AND fitted.component = testable.component
LEFT JOIN pointed
    ON fitted.appliance_kind = pointed.appliance_kind
    AND fitted.symptom = pointed.symptom
    AND fitted.component = pointed.component
ORDER BY fitted.job_id, fitted.component;
