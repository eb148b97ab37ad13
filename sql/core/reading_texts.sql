-- The distinct written values, each parsed once.
-- grain: one row per value, unit, quantity and habit of writing.
SELECT DISTINCT value, unit, quantity, decimal_sign, fold_case
FROM staged.readings
WHERE value IS NOT NULL
ORDER BY value, unit, quantity, decimal_sign, fold_case;
