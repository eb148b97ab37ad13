-- The rules by which one reading is judged: one place for the load and for the page's calculator.
-- unit: value, limits and u in the unit of the test point; temperatures in degrees Celsius.
-- counts: a limit that is NULL is absent; so is a low limit of 0 where nothing can be negative.
-- source: JCGM 106:2012, conformity probability; Abramowitz and Stegun (1964) 26.2.17 for the
--         normal distribution, |error| < 7.5e-8; IEC 60751 for platinum.
CREATE MACRO core.upper_tail(z_arg, t_arg) AS
    0.3989422804014327 * exp(-0.5 * z_arg * z_arg) * t_arg * (
        0.31938153 + t_arg * (
            -0.356563782 + t_arg * (1.781477937 + t_arg * (-1.821255978 + t_arg * 1.330274429))
        )
    );

-- Most readings lie far from their limits: beyond 40 there is nothing left to compute.
CREATE MACRO core.normal_cdf(z_arg) AS CASE
    WHEN z_arg < -40 THEN 0.0
    WHEN z_arg > 40 THEN 1.0
    WHEN z_arg < 0 THEN core.upper_tail(-z_arg, 1 / nullif(1 - 0.2316419 * z_arg, 0))
    ELSE 1 - core.upper_tail(z_arg, 1 / nullif(1 + 0.2316419 * z_arg, 0))
END;

-- The day of a reading: of its visit, else of the job.
CREATE MACRO core.read_on(arrived_arg, closed_arg, opened_arg) AS
    coalesce(arrived_arg::DATE, closed_arg, opened_arg);

-- Half-width of the meter's error: accuracy, digits of the range in use, leads below 200 ohm.
CREATE MACRO core.meter_half_width(
    value_arg, accuracy_arg, digits_arg, resolution_arg, counts_arg, lead_arg
) AS
    accuracy_arg / 100 * abs(value_arg)
    + digits_arg * greatest(
        resolution_arg,
        pow(10, ceil(log10(greatest(abs(value_arg), 1e-12) / nullif(counts_arg, 0))))
    )
    + CASE WHEN abs(value_arg) < 200 THEN lead_arg ELSE 0 END;

CREATE MACRO core.share_below(limit_arg, value_arg, u_arg) AS
    core.normal_cdf((limit_arg - value_arg) / nullif(u_arg, 0));

CREATE MACRO core.chance_inside(value_arg, u_arg, low_arg, high_arg) AS
    CASE
        WHEN high_arg IS NULL AND low_arg IS NULL THEN 0
        WHEN high_arg IS NULL THEN 1
        ELSE core.share_below(high_arg, value_arg, u_arg)
    END
    - CASE WHEN low_arg IS NULL THEN 0 ELSE core.share_below(low_arg, value_arg, u_arg) END;

CREATE MACRO core.chance_outside(value_arg, u_arg, low_arg, high_arg, below_arg, above_arg) AS
    CASE WHEN coalesce(above_arg, high_arg) IS NULL THEN 0
        ELSE 1 - core.share_below(coalesce(above_arg, high_arg), value_arg, u_arg)
    END
    + CASE WHEN coalesce(below_arg, low_arg) IS NULL THEN 0
        ELSE core.share_below(coalesce(below_arg, low_arg), value_arg, u_arg)
    END;

CREATE MACRO core.decided(inside_arg, outside_arg, zone_arg) AS CASE
    WHEN inside_arg IS NULL OR outside_arg IS NULL THEN zone_arg
    WHEN inside_arg >= 0.95 THEN 'inside'
    WHEN outside_arg >= 0.95 THEN 'outside'
    ELSE 'doubtful'
END;

CREATE MACRO core.verdict_zone(verdict_arg) AS CASE verdict_arg
    WHEN 'pass' THEN 'inside'
    WHEN 'doubtful' THEN 'doubtful'
    WHEN 'fail' THEN 'outside'
END;

-- Between limits that differ by type there is no verdict before the type is noted.
CREATE MACRO core.noted_zone(zone_arg, to_note_arg, weighed_arg) AS CASE
    WHEN zone_arg = 'doubtful' AND to_note_arg IS NOT NULL AND weighed_arg THEN 'note_type'
    ELSE zone_arg
END;

-- By what the limits are multiplied; NULL where they need a nameplate that is not known.
CREATE MACRO core.limit_scale(basis_arg, rated_arg) AS CASE basis_arg
    WHEN 'absolute' THEN 1.0
    WHEN 'ratio_to_nameplate' THEN rated_arg
    WHEN 'per_watt' THEN 1 / nullif(rated_arg, 0)
END;

-- Do these limits judge an open and a near-zero reading as well as a number?
CREATE MACRO core.judges_states(basis_arg) AS basis_arg IN ('absolute', 'per_watt');

-- A low limit of 0 is none where the quantity cannot be negative.
CREATE MACRO core.real_low(low_arg, quantity_arg) AS CASE
    WHEN low_arg = 0 AND quantity_arg NOT IN ('temperature', 'temperature difference') THEN NULL
    ELSE low_arg
END;

-- About nought, and not sound by the numbers: then the test point's own verdict on nought holds.
CREATE MACRO core.is_near_zero(value_arg, quantity_arg, zero_arg, low_arg, below_arg) AS
    zero_arg <> 'na'
    AND abs(value_arg) <= CASE quantity_arg
        WHEN 'resistance' THEN 0.5
        WHEN 'continuity' THEN 0.5
        WHEN 'AC voltage' THEN 1
        WHEN 'DC voltage' THEN 1
        ELSE 0
    END
    AND NOT coalesce(value_arg >= coalesce(below_arg, low_arg), FALSE);

-- A high-impedance meter shows tens of volts on a dead wire: neither live nor dead.
CREATE MACRO core.is_ghost(value_arg, quantity_arg, low_arg) AS
    quantity_arg = 'AC voltage' AND low_arg >= 95 AND value_arg BETWEEN 20 AND 90;

-- A value known only as "more than" or "less than" is judged on the side where it is certain.
CREATE MACRO core.number_zone(
    value_arg, comparator_arg, low_arg, high_arg, below_arg, above_arg
) AS CASE
    WHEN value_arg IS NULL THEN NULL
    WHEN comparator_arg IN ('>', '>=') THEN CASE
        WHEN value_arg > coalesce(above_arg, high_arg)
            OR (value_arg = coalesce(above_arg, high_arg) AND comparator_arg = '>')
        THEN 'outside'
        WHEN high_arg IS NULL AND value_arg >= low_arg THEN 'inside'
    END
    WHEN comparator_arg IN ('<', '<=') THEN CASE
        WHEN value_arg < coalesce(below_arg, low_arg)
            OR (value_arg = coalesce(below_arg, low_arg) AND comparator_arg = '<')
        THEN 'outside'
        WHEN low_arg IS NULL AND value_arg <= high_arg THEN 'inside'
    END
    WHEN comparator_arg <> '' THEN NULL
    WHEN value_arg < coalesce(below_arg, low_arg) THEN 'outside'
    WHEN value_arg > coalesce(above_arg, high_arg) THEN 'outside'
    WHEN coalesce(low_arg, high_arg) IS NULL THEN 'doubtful'
    WHEN (low_arg IS NULL OR value_arg >= low_arg) AND (high_arg IS NULL OR value_arg <= high_arg)
    THEN 'inside'
    ELSE 'doubtful'
END;

-- What is known of the temperature at which a reading was taken.
CREATE MACRO core.ambient_class(ambient_arg) AS CASE
    WHEN ambient_arg IS NULL THEN 'not noted'
    WHEN ambient_arg BETWEEN 15 AND 30 THEN 'room'
    ELSE 'noted'
END;

-- The unit of a nameplate; volts say which supply the appliance is made for.
CREATE MACRO core.rating_of(nameplate_arg, unit_arg) AS CASE
    WHEN nameplate_arg IS NULL THEN NULL
    WHEN unit_arg = 'V' AND nameplate_arg <= 130 THEN 'V low'
    WHEN unit_arg = 'V' THEN 'V high'
    ELSE unit_arg
END;

-- May this row of limits be used, with what is known of supply, temperature, kind, type, nameplate?
CREATE MACRO core.limits_fit(
    default_arg, service_arg, ambient_need_arg, kinds_arg, type_arg, nameplate_need_arg,
    service_volts_arg, ambient_class_arg, kind_arg, is_type_noted_arg, rating_arg
) AS
    (
        default_arg
        OR coalesce(service_arg, ambient_need_arg, kinds_arg, type_arg, nameplate_need_arg)
            IS NOT NULL
    )
    AND (
        service_arg IS NULL
        OR list_contains(string_split(service_arg, '|'), service_volts_arg::VARCHAR)
    )
    AND CASE ambient_need_arg
        WHEN 'noted' THEN ambient_class_arg <> 'not noted'
        WHEN 'room' THEN ambient_class_arg = 'room'
        WHEN 'not_noted' THEN ambient_class_arg = 'not noted'
        ELSE TRUE
    END
    AND (
        kinds_arg IS NULL
        OR coalesce(list_contains(string_split(kinds_arg, '|'), kind_arg::VARCHAR), FALSE)
    )
    AND (type_arg IS NULL OR is_type_noted_arg)
    AND (nameplate_need_arg IS NULL OR coalesce(nameplate_need_arg = rating_arg, FALSE));

CREATE MACRO core.platinum_ratio(cel_arg) AS
    1 + 3.9083e-3 * cel_arg - 5.775e-7 * cel_arg * cel_arg
    + CASE WHEN cel_arg < 0
        THEN -4.183e-12 * (cel_arg - 100) * cel_arg * cel_arg * cel_arg
        ELSE 0
    END;

CREATE MACRO core.thermistor_ratio(cel_arg, ref_arg, beta_arg) AS
    exp(beta_arg * (
        1 / nullif(cel_arg + 273.15, 0) - 1 / nullif(ref_arg + 273.15, 0)
    ));

-- By how much the limits move from their reference temperature; 1 where no law is declared.
CREATE MACRO core.moved_ratio(model_arg, alpha_arg, beta_arg, ref_arg, cel_arg) AS CASE
    WHEN cel_arg IS NULL OR ref_arg IS NULL THEN 1.0
    WHEN model_arg = 'copper'
    THEN (1 + alpha_arg * (cel_arg - 20)) / nullif(1 + alpha_arg * (ref_arg - 20), 0)
    WHEN model_arg = 'ntc_beta' AND beta_arg IS NOT NULL
    THEN core.thermistor_ratio(cel_arg, ref_arg, beta_arg)
    WHEN model_arg = 'pt_iec60751'
    THEN core.platinum_ratio(cel_arg) / nullif(core.platinum_ratio(ref_arg), 0)
    ELSE 1.0
END;

-- The zone of one reading; NULL where nothing gives a verdict.
CREATE MACRO core.reading_zone(
    value_arg, comparator_arg, open_arg, closed_arg, quantity_arg, basis_arg,
    low_arg, high_arg, below_arg, above_arg, open_verdict_arg, zero_verdict_arg
) AS CASE
    WHEN open_arg AND (core.judges_states(basis_arg) OR basis_arg = 'sum_rule')
    THEN core.verdict_zone(open_verdict_arg)
    WHEN closed_arg AND core.judges_states(basis_arg) THEN core.verdict_zone(zero_verdict_arg)
    WHEN coalesce(low_arg, high_arg, below_arg, above_arg) IS NULL OR open_arg OR closed_arg
    THEN NULL
    WHEN basis_arg = 'sum_rule' THEN CASE
        WHEN comparator_arg <> '' OR value_arg IS NULL THEN NULL
        WHEN value_arg BETWEEN low_arg AND high_arg THEN 'inside'
        ELSE 'doubtful'
    END
    WHEN comparator_arg = ''
        AND core.judges_states(basis_arg)
        AND core.is_near_zero(value_arg, quantity_arg, zero_verdict_arg, low_arg, below_arg)
    THEN core.verdict_zone(zero_verdict_arg)
    WHEN comparator_arg = '' AND core.is_ghost(value_arg, quantity_arg, low_arg) THEN 'doubtful'
    ELSE core.number_zone(value_arg, comparator_arg, low_arg, high_arg, below_arg, above_arg)
END;

-- Do the limits weigh this number, so that the meter's error can make it doubtful?
CREATE MACRO core.is_weighed(
    value_arg, comparator_arg, open_arg, closed_arg, quantity_arg, basis_arg,
    low_arg, high_arg, below_arg, above_arg, zero_verdict_arg
) AS coalesce(
    value_arg IS NOT NULL
    AND comparator_arg = ''
    AND NOT open_arg
    AND NOT closed_arg
    AND basis_arg <> 'sum_rule'
    AND coalesce(low_arg, high_arg, below_arg, above_arg) IS NOT NULL
    AND NOT coalesce(
        core.judges_states(basis_arg)
        AND core.is_near_zero(value_arg, quantity_arg, zero_verdict_arg, low_arg, below_arg),
        FALSE
    )
    AND NOT coalesce(core.is_ghost(value_arg, quantity_arg, low_arg), FALSE),
    FALSE
);
