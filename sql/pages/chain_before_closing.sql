-- Checks before closing: a part found outside that is often the effect of a second fault.
-- grain: one row per appliance kind, complaint, cause and test point.
-- source: sql/lookups/before_closing.csv, common practice, no source.
SELECT
    closing.kind AS appliance_kind,
    closing.symptom,
    closing.cause,
    closing.test_point,
    closing.why,
FROM lookups.before_closing AS closing
ORDER BY closing.kind, closing.symptom, closing.cause, closing.test_point;
