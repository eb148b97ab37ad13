-- Part rows, named and typed; `problems` lists code@field, '' when the row can be used.
-- grain: one row per part line written in a source, copies and old versions included.
-- counts: an amount, a word for none or raw JSON is not a part number.
-- unit: money in the shop's currency; quantity in pieces, 1 where none is written, negative for a
--       part that went back: it subtracts.
CREATE TABLE staged.part_lines AS
WITH typed AS (
    SELECT
        part_lines.*,
        sources.mapping,
        sources.numbering,
        sources.decimal_sign,
        core.parsed_count(part_lines.visit_no) AS visit_number,
        job_keys.is_loaded,
        job_keys.job_id AS known_job,
        coalesce(own_word.id, id_word.id, word.id, meanings.id) AS component_id,
        coalesce(same_supplier.name, part_lines.supplier) AS supplier_name,
        core.parsed_quantity(coalesce(part_lines.quantity, '1'), sources.decimal_sign) AS pieces,
        coalesce(own_van.id = 'yes', core.is_yes(part_lines.from_van)) AS is_from_van,
        coalesce(own_hand.id = 'yes', core.is_yes(part_lines.on_hand)) AS is_on_hand,
        cost_text.amount AS cost,
        cost_text.problem AS cost_problem,
        charge_text.amount AS charge,
        charge_text.problem AS charge_problem,
    FROM raw.part_lines AS part_lines
    INNER JOIN staged.sources AS sources ON part_lines.source_id = sources.source_id
    LEFT JOIN staged.amount_texts AS cost_text
        ON part_lines.source_id = cost_text.source_id AND part_lines.unit_cost = cost_text.text
    LEFT JOIN staged.amount_texts AS charge_text
        ON part_lines.source_id = charge_text.source_id AND part_lines.unit_charge = charge_text.text
    LEFT JOIN staged.job_keys AS job_keys
        ON part_lines.job_id = job_keys.job_number AND sources.numbering = job_keys.numbering
    LEFT JOIN staged.words AS component_text ON part_lines.component = component_text.text
    LEFT JOIN core.vocabulary AS own_word
        ON own_word.mapping = sources.mapping
        AND own_word.field = 'component'
        AND own_word.word = component_text.word
    LEFT JOIN core.vocabulary AS id_word
        ON id_word.mapping = ''
        AND id_word.field = 'component'
        AND id_word.kind = ''
        AND id_word.word = component_text.word
    LEFT JOIN core.vocabulary AS word
        ON word.mapping = ''
        AND word.field = 'component'
        AND word.kind = job_keys.appliance_kind
        AND word.word = component_text.word
    LEFT JOIN staged.part_meanings AS meanings
        ON meanings.kind = job_keys.appliance_kind AND meanings.text = part_lines.component
    LEFT JOIN staged.same_names AS same_supplier
        ON same_supplier.mapping = sources.mapping
        AND same_supplier.field = 'supplier'
        AND same_supplier.text = part_lines.supplier
    LEFT JOIN staged.words AS van_text ON part_lines.from_van = van_text.text
    LEFT JOIN core.vocabulary AS own_van
        ON own_van.mapping = sources.mapping
        AND own_van.field = 'yes_no'
        AND own_van.word = van_text.word
    LEFT JOIN staged.words AS hand_text ON part_lines.on_hand = hand_text.text
    LEFT JOIN core.vocabulary AS own_hand
        ON own_hand.mapping = sources.mapping
        AND own_hand.field = 'yes_no'
        AND own_hand.word = hand_text.word
)

SELECT
    row_id,
    item_no,
    source_id,
    row_no,
    mapping,
    origin,
    coalesce(known_job, numbering || ' ' || job_id) AS job_id,
    visit_number AS visit_no,
    part_no,
    component_id AS component,
    CASE WHEN component_id IS NULL THEN component END AS unknown_component,
    supplier_name AS supplier,
    pieces AS quantity,
    cost AS unit_cost,
    charge AS unit_charge,
    is_from_van,
    is_on_hand,
    mends,
    trim(concat_ws(
        ' ',
        CASE
            WHEN job_id IS NULL THEN 'missing@job_id'
            WHEN known_job IS NULL THEN 'no_such_job@job_id'
            WHEN NOT is_loaded THEN 'parent_quarantined@job_id'
        END,
        CASE
            WHEN part_no IS NULL THEN 'missing@part_no'
            WHEN core.is_no_part_number(part_no) THEN 'not_a_part_number@part_no'
        END,
        CASE WHEN visit_no IS NOT NULL AND coalesce(visit_number, 0) < 1
            THEN 'whole_number_wanted@visit_no' END,
        CASE
            WHEN pieces IS NOT NULL THEN NULL
            WHEN core.number_text(quantity, decimal_sign) IS NULL THEN 'number_not_understood@quantity'
            ELSE 'quantity_not_possible@quantity'
        END,
        CASE WHEN unit_cost IS NOT NULL AND cost IS NULL
            THEN cost_problem || '@unit_cost' END,
        CASE WHEN unit_charge IS NOT NULL AND charge IS NULL
            THEN charge_problem || '@unit_charge' END
    )) AS problems,
    hash(
        mapping, job_id, visit_no, part_no,
        component, supplier, quantity, unit_cost,
        unit_charge, from_van, on_hand
    ) AS content_hash,
    hash(
        coalesce(known_job, numbering || ' ' || job_id), visit_number, part_no
    ) AS row_key,
FROM typed;
