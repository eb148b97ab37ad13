-- What a meter may be off by: the shop's own meters, and an ordinary one for all others.
-- grain: one row per meter ('' = any) and quantity.
-- unit: accuracy in per cent of the reading; resolution of the lowest range and leads in the unit
--       of the test point; digits and counts as on the meter's data sheet.
-- source: sql/lookups/meters.csv, column source; meters.csv of the shop.
CREATE TABLE core.meters AS
WITH rows AS (
    SELECT
        core.folded(coalesce(meter, '')) AS meter,
        quantity,
        accuracy_pct::DOUBLE AS accuracy_pct,
        digits::DOUBLE AS digits,
        resolution::DOUBLE AS resolution,
        counts::DOUBLE AS counts,
        coalesce(lead_ohm::DOUBLE, 0) AS lead_ohm,
        'own meters, line ' || line_no AS source,
        TRUE AS is_own,
    FROM shop.meters
    UNION ALL
    SELECT '', quantity, accuracy_pct, digits, resolution, counts, lead_ohm, source, FALSE
    FROM lookups.meters
)

SELECT *,
FROM rows
QUALIFY row_number() OVER (PARTITION BY meter, quantity ORDER BY is_own DESC, source) = 1
ORDER BY meter, quantity;
