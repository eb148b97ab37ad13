-- The records as a whole.
-- grain: exactly one row.
SELECT
    as_of,
    jobs,
    linked_jobs,
    first_closed_on,
    last_closed_on,
    visits,
    readings,
    part_lines,
    charged_jobs,
    currencies,
    currency,
FROM core.dataset;
