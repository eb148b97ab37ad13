-- Is a row within a filter of the pages? The same for jobs, readings, tests and parts.
-- grain: scalar in, scalar out.
-- counts: an empty list or NULL means all; the period includes both of its days.
CREATE MACRO core.is_in_period(from_arg, to_arg, day_arg) AS
    (from_arg IS NULL OR day_arg >= from_arg::DATE) AND (to_arg IS NULL OR day_arg <= to_arg::DATE);

CREATE MACRO core.is_chosen(chosen_arg, value_arg) AS
    coalesce(len(chosen_arg::VARCHAR[]), 0) = 0 OR list_contains(chosen_arg::VARCHAR[], value_arg);

-- A brand or a model as people write it; no wanted one means any.
CREATE MACRO core.is_this(value_arg, wanted_arg) AS
    wanted_arg IS NULL OR coalesce(core.folded(value_arg) = core.folded(wanted_arg), FALSE);
