-- The limits: the register's rows and the shop's own, each with an id that a reading points to.
-- grain: one row per test point and variant of the register, one per row of the shop's limits.csv.
-- unit: the unit of the test point; temperatures in degrees Celsius.
-- counts: specificity 3 = one model, 2 = one brand and kind, 1 = one kind, 0 = any appliance;
--         valid_from and valid_to belong to the period, NULL = always. A row holds by itself when
--         is_default; others only by what they ask for: the service voltage, a noted temperature, a
--         noted type of the part (type_words), a rating on the nameplate (needs_nameplate: W, V high,
--         V low, A, uF). kinds = the kinds for which a row holds, NULL = all. to_note = what must be
--         noted before the row can decide between its limits: there the verdict is note_type.
-- source: sql/lookups/tolerances.csv, column source; limits.csv of the shop.
CREATE TABLE core.limits AS
WITH rows AS (
    SELECT
        test_point || coalesce(': ' || variant, '') AS limits_id,
        FALSE AS is_own,
        test_point,
        variant,
        NULL::VARCHAR AS kind,
        NULL::VARCHAR AS brand,
        NULL::VARCHAR AS model,
        NULL::DATE AS valid_from,
        NULL::DATE AS valid_to,
        is_default = 1 AS is_default,
        service_volts,
        needs_ambient,
        kinds,
        type_words,
        needs_nameplate,
        to_note,
        limit_basis,
        low,
        high,
        fail_below,
        fail_above,
        NULL::DOUBLE AS nameplate,
        open_verdict,
        zero_verdict,
        ref_temp_cel,
        temp_model,
        temp_params,
        source_class,
        source,
        formula,
        confidence,
        note,
    FROM lookups.tolerances
    UNION ALL
    SELECT
        'own limits, line ' || line_no || ': ' || test_point,
        TRUE,
        test_point,
        variant,
        kind,
        brand,
        model,
        valid_from::DATE,
        valid_to::DATE,
        is_default = '1',
        service_volts,
        needs_ambient,
        NULL,
        type_words,
        needs_nameplate,
        to_note,
        limit_basis,
        low::DOUBLE,
        high::DOUBLE,
        fail_below::DOUBLE,
        fail_above::DOUBLE,
        nameplate::DOUBLE,
        open_verdict,
        zero_verdict,
        ref_temp_cel::DOUBLE,
        temp_model,
        temp_params,
        source_class,
        source,
        formula,
        confidence,
        note,
    FROM shop.limits
)

SELECT
    rows.limits_id,
    rows.is_own,
    rows.test_point,
    rows.variant,
    rows.kind,
    core.folded(rows.brand) AS brand,
    core.folded(rows.model) AS model,
    CASE
        WHEN rows.model IS NOT NULL THEN 3
        WHEN rows.brand IS NOT NULL THEN 2
        WHEN rows.kind IS NOT NULL THEN 1
        ELSE 0
    END AS specificity,
    rows.valid_from,
    rows.valid_to,
    rows.is_default,
    rows.service_volts,
    rows.needs_ambient,
    rows.kinds,
    rows.type_words,
    rows.needs_nameplate,
    rows.to_note,
    rows.limit_basis,
    rows.low,
    rows.high,
    test_points.unit_ucum AS unit,
    rows.fail_below,
    rows.fail_above,
    rows.nameplate,
    coalesce(rows.open_verdict, 'na') AS open_verdict,
    coalesce(rows.zero_verdict, 'na') AS zero_verdict,
    rows.ref_temp_cel,
    coalesce(rows.temp_model, 'none') AS temp_model,
    rows.temp_params,
    coalesce(
        try_cast(regexp_extract(rows.temp_params, 'alpha=([0-9.]+)', 1) AS DOUBLE), 0.00393
    ) AS alpha,
    try_cast(regexp_extract(rows.temp_params, 'beta ([0-9]+)', 1) AS DOUBLE) AS beta_low,
    coalesce(
        try_cast(regexp_extract(rows.temp_params, 'beta [0-9]+-([0-9]+)', 1) AS DOUBLE),
        try_cast(regexp_extract(rows.temp_params, 'beta ([0-9]+)', 1) AS DOUBLE)
    ) AS beta_high,
    rows.source_class,
    rows.source,
    rows.formula,
    rows.confidence,
    rows.note,
FROM rows
INNER JOIN lookups.test_points AS test_points ON rows.test_point = test_points.test_point
ORDER BY rows.limits_id;
