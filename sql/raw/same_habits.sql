-- Does a kept mapping say the same as one of that name today? None where none is kept.
-- grain: one row per kept mapping of the name (none or one).
SELECT
    mapping.date_order = $date_order
        AND mapping.decimal_sign = $decimal_sign
        AND mapping.currency = $currency
        AND mapping.time_zone = $time_zone
        AND mapping.fold_case = $fold_case
        AND mapping.own_kinds = $own_kinds
        AND mapping.numbering = $numbering AS is_same
FROM raw.mappings AS mapping
WHERE mapping.mapping = $name;
