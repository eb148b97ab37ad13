-- Rules that tables share: interval of a proportion, days observed, money of a line, order of jobs.
-- unit: fractions 0–1, n = 0 gives NULL; money in the shop's currency.
-- source: Wilson (1927), score interval without continuity correction; z = 1.959964 for 95 %.
CREATE MACRO core.wilson_centre(k_arg, n_arg) AS
    (k_arg + 1.9207294) / nullif(n_arg + 3.8414589, 0);

CREATE MACRO core.wilson_half(k_arg, n_arg) AS
    1.959964 * sqrt(
        k_arg::DOUBLE * (n_arg - k_arg) / nullif(n_arg, 0) + 0.96036472
    ) / nullif(n_arg + 3.8414589, 0);

CREATE MACRO core.wilson_low(k_arg, n_arg) AS CASE
    WHEN n_arg = 0 THEN NULL
    WHEN k_arg = 0 THEN 0.0
    ELSE core.wilson_centre(k_arg, n_arg) - core.wilson_half(k_arg, n_arg)
END;

CREATE MACRO core.wilson_high(k_arg, n_arg) AS CASE
    WHEN n_arg = 0 THEN NULL
    WHEN k_arg = n_arg THEN 1.0
    ELSE core.wilson_centre(k_arg, n_arg) + core.wilson_half(k_arg, n_arg)
END;

-- Days after closing within which a return is linked at all; the setting of the window is shorter.
CREATE MACRO core.callback_horizon_days() AS 365;

-- Days for which a job was seen without a callback: to its callback, else to the end of the records.
CREATE MACRO core.observed_days(callback_days_arg, closed_on_arg, as_of_arg) AS
    least(
        coalesce(callback_days_arg, date_diff('day', closed_on_arg, as_of_arg)),
        core.callback_horizon_days()
    )::INTEGER;

-- A fraction in whole parts of 1 / scale, half up. A sum of such parts does not depend on the order
-- of its terms: whole numbers below 2^53 add exactly.
CREATE MACRO core.whole(value_arg, scale_arg) AS
    floor(value_arg * scale_arg + 0.5);

-- A fraction rounded to 1 / scale, half up.
CREATE MACRO core.rounded(value_arg, scale_arg) AS
    core.whole(value_arg, scale_arg) / nullif(scale_arg, 0);

-- Money of a part line, in whole cents: so a sum does not depend on the order of the lines.
CREATE MACRO core.line_money(quantity_arg, price_arg) AS
    try_cast(quantity_arg * price_arg::DOUBLE AS DECIMAL(12, 2));

-- Text by which job numbers sort as numbers: J9 before J10, and 9 before 10.
CREATE MACRO core.number_key(job_id_arg) AS
    regexp_replace(job_id_arg, '[0-9]{1,30}$', '', 'g')
    || lpad(regexp_extract(job_id_arg, '([0-9]{1,30})$', 1), 30, '0');

-- The first reason that keeps a closed job out of the fix rates, or 'counted'.
CREATE MACRO core.why_counted(
    is_complaint_arg,
    disposition_arg,
    attended_visits_arg,
    is_counted_arg,
    days_since_closed_arg,
    window_days_arg
) AS CASE
    WHEN NOT is_complaint_arg THEN 'maintenance and installation'
    WHEN disposition_arg <> 'repaired' THEN disposition_arg
    WHEN attended_visits_arg IS NULL THEN 'visits not recorded'
    WHEN NOT is_counted_arg THEN 'appliance not known, so a return cannot be seen'
    WHEN days_since_closed_arg < window_days_arg THEN 'closed too recently'
    ELSE 'counted'
END;

-- Is a repair fixed first time: one attended visit and no callback within the window?
CREATE MACRO core.is_fixed(attended_visits_arg, callback_days_arg, window_days_arg) AS
    attended_visits_arg = 1 AND coalesce(callback_days_arg > window_days_arg, TRUE);

-- The one reason why a repair was not fixed first time (core/fixes_in.sql), NULL where it was.
CREATE MACRO core.why_not_fixed(
    attended_visits_arg, first_reason_arg, callback_days_arg, other_days_arg, window_days_arg
) AS CASE
    WHEN core.is_fixed(attended_visits_arg, callback_days_arg, window_days_arg) THEN NULL
    WHEN attended_visits_arg <> 1 AND first_reason_arg = 'misdiagnosed' THEN 'wrong_diagnosis'
    WHEN attended_visits_arg <> 1 THEN coalesce(first_reason_arg, 'not_recorded')
    WHEN other_days_arg <= window_days_arg THEN 'wrong_diagnosis'
    ELSE 'came_back'
END;

-- Was a diagnosis wrong: corrected on a later visit, or came back with another component?
CREATE MACRO core.is_wrong(is_judged_arg, is_corrected_arg, other_days_arg, window_days_arg) AS
    CASE WHEN is_judged_arg
        THEN is_corrected_arg OR coalesce(other_days_arg <= window_days_arg, FALSE)
    END;

-- How much a reading says of a part, either way: |ln p/q|, of a reading outside or inside.
CREATE MACRO core.weight_of_evidence(is_outside_arg, p_arg, q_arg) AS abs(ln(
    CASE WHEN is_outside_arg
        THEN p_arg / nullif(q_arg, 0)
        ELSE (1 - p_arg) / nullif(1 - q_arg, 0)
    END
));
