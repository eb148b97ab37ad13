-- How a mapping says that its source writes.
INSERT INTO raw.mappings BY NAME
SELECT
    $name AS mapping,
    $title AS title,
    $date_order AS date_order,
    $decimal_sign AS decimal_sign,
    $currency AS currency,
    $time_zone AS time_zone,
    $fold_case AS fold_case,
    $own_kinds AS own_kinds,
    $numbering AS numbering;
