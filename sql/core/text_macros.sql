-- How a text becomes a word, a date, a time, a number: one definition each, callable on one text.
-- grain: scalar in, scalar out; NULL in, NULL out; what cannot be read is NULL.
-- source: dates ISO 8601-1:2019 first, others only in the declared order.
CREATE MACRO core.folded(text_arg) AS translate(
    trim(regexp_replace(
        regexp_replace(lower(text_arg), '[''’`]', '', 'g'),
        '[^\p{L}\p{N}]+',
        ' ',
        'g'
    )),
    'áàâäãåéèêëíìîïóòôöõúùûüñç',
    'aaaaaaeeeeiiiiooooouuuunc'
);

CREATE MACRO core.date_of(year_arg, month_arg, day_arg) AS try_cast(
    CASE WHEN length(year_arg) = 2 THEN '20' || year_arg ELSE year_arg END
    || '-' || lpad(month_arg, 2, '0') || '-' || lpad(day_arg, 2, '0') AS DATE
);

-- Month number of an English month name, by its first three letters; '' when it is none.
CREATE MACRO core.month_of(name_arg) AS CASE
    WHEN (strpos('jan feb mar apr may jun jul aug sep oct nov dec', lower(substr(name_arg, 1, 3)))
        - 1) % 4 = 0 AND length(name_arg) >= 3
    THEN ((strpos('jan feb mar apr may jun jul aug sep oct nov dec',
        lower(substr(name_arg, 1, 3))) + 3) // 4)::VARCHAR
    ELSE ''
END;

-- Monday of the ISO 8601 week 1, the week that holds 4 January. 0001-01-01 was a Monday.
CREATE MACRO core.week_one(year_arg) AS core.date_of(year_arg, '1', '4')
    - (date_diff('day', DATE '0001-01-01', core.date_of(year_arg, '1', '4')) % 7)::INTEGER;

-- The date of an ISO 8601 week date; a week 53 that the year lacks (no Thursday of it) is none.
CREATE MACRO core.week_date(year_arg, week_arg, day_arg) AS CASE
    WHEN week_arg::INTEGER BETWEEN 1 AND 53
        AND day_arg::INTEGER BETWEEN 1 AND 7
        AND year(core.week_one(year_arg) + (7 * week_arg::INTEGER - 4)) = year_arg::INTEGER
    THEN core.week_one(year_arg) + (7 * week_arg::INTEGER + day_arg::INTEGER - 8)
END;

-- The shape of a written date, so that each text is taken apart once.
CREATE MACRO core.date_shape(text_arg) AS CASE
    WHEN regexp_matches(text_arg, '(?i)^((?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[,.]? +)?\d{4}[-/.]\d{1,2}[-/.]\d{1,2}([T ,].*)?$') THEN 'year_first'
    WHEN regexp_matches(text_arg, '(?i)^((?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[,.]? +)?\d{1,2}[-/.]\d{1,2}[-/.](\d{4}|\d{2})([ ,].*)?$') THEN 'numbers'
    WHEN regexp_matches(text_arg, '(?i)^((?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[,.]? +)?\d{1,2}[-. ]+[A-Za-z]{3,9}[-., ]+(\d{4}|\d{2})([ ,].*)?$') THEN 'day_name'
    WHEN regexp_matches(text_arg, '(?i)^((?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[,.]? +)?[A-Za-z]{3,9}[. ]+\d{1,2},? +(''?\d{2}|\d{4})([ ,].*)?$') THEN 'name_day'
    WHEN regexp_matches(text_arg, '^\d{8}$') THEN 'compact'
    WHEN regexp_matches(text_arg, '^\d{4}-?W\d{2}-?\d$') THEN 'week'
    WHEN regexp_matches(text_arg, '^\d{5}(\.\d+)?( \d{1,2}:\d{2}.*)?$') THEN 'serial'
    ELSE ''
END;

CREATE MACRO core.parsed_date(text_arg, order_arg, date_system_arg) AS CASE core.date_shape(text_arg)
    WHEN 'year_first' THEN core.date_of(
        regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 1),
        regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 2),
        regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 3)
    )
    WHEN 'compact' THEN core.date_of(
        substr(text_arg, 1, 4), substr(text_arg, 5, 2), substr(text_arg, 7, 2)
    )
    WHEN 'week' THEN core.week_date(
        regexp_extract(text_arg, '^(\d{4})-?W(\d{2})-?(\d)$', 1),
        regexp_extract(text_arg, '^(\d{4})-?W(\d{2})-?(\d)$', 2),
        regexp_extract(text_arg, '^(\d{4})-?W(\d{2})-?(\d)$', 3)
    )
    WHEN 'numbers' THEN CASE order_arg
        WHEN 'MDY' THEN core.date_of(
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 3),
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 1),
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 2)
        )
        WHEN 'DMY' THEN core.date_of(
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 3),
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 2),
            regexp_extract(text_arg, '(\d+)[-/.](\d+)[-/.](\d+)', 1)
        )
    END
    WHEN 'day_name' THEN core.date_of(
        regexp_extract(text_arg, '(\d+)[-. ]+([A-Za-z]+)[-., ]+(\d+)', 3),
        core.month_of(regexp_extract(text_arg, '(\d+)[-. ]+([A-Za-z]+)[-., ]+(\d+)', 2)),
        regexp_extract(text_arg, '(\d+)[-. ]+([A-Za-z]+)[-., ]+(\d+)', 1)
    )
    WHEN 'name_day' THEN core.date_of(
        regexp_extract(text_arg, '([A-Za-z]+)[. ]+(\d+),? +''?(\d+)', 3),
        core.month_of(regexp_extract(text_arg, '([A-Za-z]+)[. ]+(\d+),? +''?(\d+)', 1)),
        regexp_extract(text_arg, '([A-Za-z]+)[. ]+(\d+),? +''?(\d+)', 2)
    )
    WHEN 'serial' THEN CASE date_system_arg
        WHEN '1900' THEN DATE '1899-12-30' + try_cast(substr(text_arg, 1, 5) AS INTEGER)
        WHEN '1904' THEN DATE '1904-01-01' + try_cast(substr(text_arg, 1, 5) AS INTEGER)
    END
END;

-- The code of what is wrong with a written date; '' when nothing is.
CREATE MACRO core.date_problem(text_arg, order_arg, date_arg, landed_on_arg) AS CASE
    WHEN text_arg IS NULL THEN ''
    WHEN date_arg > landed_on_arg THEN 'date_in_future'
    WHEN date_arg < DATE '1970-01-01' THEN 'date_too_early'
    WHEN date_arg IS NOT NULL THEN ''
    WHEN core.date_shape(text_arg) = 'numbers' AND order_arg NOT IN ('MDY', 'DMY')
    THEN 'date_order_unknown'
    ELSE 'date_not_understood'
END;

-- The first HH:MM of a text, in minutes.
CREATE MACRO core.clock_minutes(text_arg) AS
    regexp_extract(text_arg, '(\d{1,2}):\d{2}', 1)::INTEGER * 60
    + regexp_extract(text_arg, '\d:(\d{2})', 1)::INTEGER;

-- Minute of the day: 0 when the text has no time, 1440 for 24:00, NULL when no clock shows it.
CREATE MACRO core.minute_of_day(text_arg) AS CASE
    WHEN regexp_matches(text_arg, '(^|\D)([01]?\d|2[0-3]):[0-5]\d(:\d{2}(\.\d+)?)?$')
    THEN core.clock_minutes(text_arg)
    WHEN NOT regexp_matches(text_arg, '\d:\d{2}') THEN 0
    WHEN regexp_matches(
        text_arg, '(?i)(^|\D)([01]?\d|2[0-3]):[0-5]\d(:\d{2}(\.\d+)?)? ?[ap]\.?m'
    )
    THEN core.clock_minutes(text_arg) % 720
        + CASE WHEN regexp_matches(text_arg, '(?i)\d ?p\.?m') THEN 720 ELSE 0 END
    WHEN regexp_matches(text_arg, '(^|\D)(([01]?\d|2[0-3]):[0-5]\d|24:00)')
    THEN core.clock_minutes(text_arg)
END;

CREATE MACRO core.has_offset(text_arg) AS
    regexp_matches(text_arg, '\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?( ?Z|[+-]\d{2}:?\d{2})$');

-- A date and time with its offset as text that casts: date parted by -, seconds always written.
CREATE MACRO core.moment_text(text_arg) AS
    translate(regexp_extract(text_arg, '^(.+[T ]\d{1,2}:\d{2})', 1), '/', '-')
    || coalesce(
        nullif(regexp_extract(text_arg, '[T ]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)', 1), ''), ':00'
    )
    || regexp_extract(text_arg, '(Z|[+-]\d{2}:?\d{2})$', 1);

-- Shop time without zone; a text with an offset is moved to the shop's zone.
CREATE MACRO core.parsed_timestamp(text_arg, order_arg, date_system_arg, zone_arg) AS CASE
    WHEN NOT core.has_offset(text_arg)
    THEN core.parsed_date(text_arg, order_arg, date_system_arg)::TIMESTAMP
        + core.minute_of_day(text_arg) * INTERVAL '1' MINUTE
    WHEN regexp_matches(
        text_arg,
        '^\d{4}[-/]\d{1,2}[-/]\d{1,2}[T ]([01]?\d|2[0-3]):[0-5]\d(:[0-5]\d(\.\d+)?)?(Z|[+-](0\d|1[0-4]):?[0-5]\d)$'
    )
    THEN timezone(zone_arg, try_cast(core.moment_text(text_arg) AS TIMESTAMPTZ))
END;

-- A number in the declared decimal notation, as text that casts; NULL when it is none.
CREATE MACRO core.number_text(text_arg, decimal_arg) AS CASE
    WHEN decimal_arg = ',' AND regexp_matches(text_arg, '^-?(\d{1,3}([. ]\d{3})+|\d+)(,\d+)?$')
    THEN replace(regexp_replace(text_arg, '[. ]', '', 'g'), ',', '.')
    WHEN decimal_arg = '.' AND regexp_matches(text_arg, '^-?(\d{1,3}([, ]\d{3})+|\d+)?(\.\d+)?$')
        AND text_arg NOT IN ('', '-')
    THEN regexp_replace(text_arg, '[, ]', '', 'g')
END;

-- An amount without its sign or code of currency.
CREATE MACRO core.bare_amount(text_arg) AS
    trim(regexp_replace(text_arg, '[$€£]|\b[A-Z]{3}\b', '', 'g'));

-- A negative amount with its minus in front: (45.00), 45.00-, - 45.00 and 45.00 CR are all -45.00.
CREATE MACRO core.signed_amount(text_arg) AS CASE
    WHEN regexp_matches(text_arg, '^\(.+\)$')
    THEN '-' || trim(regexp_extract(text_arg, '^\((.+)\)$', 1))
    WHEN regexp_matches(text_arg, '^[\d., ]*\d ?(-|CR)$')
    THEN '-' || trim(regexp_extract(text_arg, '^([\d., ]*\d)', 1))
    WHEN regexp_matches(text_arg, '^- ') THEN '-' || trim(substr(text_arg, 2))
    ELSE text_arg
END;

-- Words that say that nothing is charged.
CREATE MACRO core.is_no_charge(text_arg) AS lower(text_arg) IN (
    'n/c', 'nc', 'n.c.', 'no charge', 'free', 'free of charge', 'foc', 'warranty', 'in warranty',
    'under warranty', 'goodwill', 'garantie', 'gratis', 'kostenlos', 'kulanz', 'gratuit', 'sous garantie'
);

-- Does 1.234 mean one and a bit, or more than a thousand? One digit group of three after the
-- declared decimal sign can mean either.
CREATE MACRO core.is_ambiguous_amount(text_arg, decimal_arg) AS
    (decimal_arg = '.' AND regexp_matches(text_arg, '^\D*[1-9]\d{0,2}\.\d{3}(\D*)$'))
    OR (decimal_arg = ',' AND regexp_matches(text_arg, '^\D*[1-9]\d{0,2},\d{3}(\D*)$'));

-- An amount that is no plain number, without its currency and with its minus in front.
CREATE MACRO core.plain_amount(text_arg) AS
    core.bare_amount(core.signed_amount(core.bare_amount(text_arg)));

-- The amount of a text, of which number and plain form are known.
CREATE MACRO core.amount_of(text_arg, number_arg, plain_arg, decimal_arg) AS CASE
    WHEN core.is_ambiguous_amount(text_arg, decimal_arg) THEN NULL
    ELSE try_cast(
        coalesce(
            number_arg,
            core.number_text(plain_arg, decimal_arg),
            CASE WHEN core.is_no_charge(text_arg) THEN '0' END
        ) AS DECIMAL(12, 2)
    )
END;

-- Most amounts are plain numbers: only the others are taken apart.
CREATE MACRO core.parsed_money(text_arg, decimal_arg) AS core.amount_of(
    text_arg, core.number_text(text_arg, decimal_arg), core.plain_amount(text_arg), decimal_arg
);

-- The code of what is wrong with an amount that is not understood.
CREATE MACRO core.money_problem(text_arg, decimal_arg) AS CASE
    WHEN core.is_ambiguous_amount(text_arg, decimal_arg) THEN 'amount_ambiguous'
    ELSE 'number_not_understood'
END;

-- Pieces of a line, 0 to 10,000: more is a slip of the keys.
CREATE MACRO core.parsed_quantity(text_arg, decimal_arg) AS CASE
    WHEN try_cast(core.number_text(text_arg, decimal_arg) AS DOUBLE) BETWEEN -10000 AND 10000
    THEN try_cast(core.number_text(text_arg, decimal_arg) AS DOUBLE)
END;

-- Pieces times price to the cent, half a cent away from zero as on paper.
CREATE MACRO core.line_amount(pieces_arg, price_arg) AS try_cast(
    pieces_arg * price_arg::DOUBLE + 0.0000001 * sign(pieces_arg * price_arg::DOUBLE) AS DECIMAL(12, 2)
);

-- Is a text an amount, a word for none, or raw JSON, where a part number is wanted?
CREATE MACRO core.is_no_part_number(text_arg) AS
    lower(text_arg) IN (
        'none', 'n/a', 'na', 'n.a.', 'no', 'nil', 'null', 'no part', 'no parts', 'not used', 'keine',
        'kein', 'ohne', 'aucun', 'aucune', 'neant', 'sans'
    )
    OR NOT regexp_matches(text_arg, '[\p{L}\p{N}]')
    OR regexp_matches(text_arg, '^[-+(]? ?[$€£] ?[\d.,]+\)?$')
    OR regexp_matches(text_arg, '^[-+(]?[\d.,]+ ?([$€£]|USD|EUR|GBP|CAD|AUD)\)?$')
    OR regexp_matches(text_arg, '^-?\d{1,3}(,\d{3})*\.\d{2}$')
    OR regexp_matches(text_arg, '^-?\d{1,3}(\.\d{3})*,\d{2}$')
    OR regexp_matches(text_arg, '^[\[{]');

CREATE MACRO core.parsed_count(text_arg) AS CASE
    WHEN regexp_matches(text_arg, '^\d{1,6}(\.0+)?$')
    THEN regexp_extract(text_arg, '^(\d+)', 1)::INTEGER
END;

-- Minutes: 80, 80m, 80 min, 80', 1:20, 1h20, 1 h 20 min, 1.5 h, 1,25 Std.
CREATE MACRO core.parsed_minutes(text_arg, decimal_arg) AS CASE
    WHEN regexp_matches(lower(text_arg), '^-?[\d.,]+ ?(m|mn|min|mins|minute|minutes|minuten|''|′|´)?\.?$')
    THEN try_cast(core.number_text(regexp_replace(text_arg, '[^-\d.,]|\.$', '', 'g'), decimal_arg) AS DOUBLE)
    WHEN regexp_matches(lower(text_arg), '^\d{1,3}:\d{2}(:\d{2})?( ?(h|hr|hrs|std|uhr)\.?)?$')
    THEN (regexp_extract(text_arg, '^(\d+):(\d{2})', 1)::INTEGER * 60
        + regexp_extract(text_arg, '^(\d+):(\d{2})', 2)::INTEGER)::DOUBLE
    WHEN regexp_matches(lower(text_arg), '^\d{1,4} ?(h|hr|hrs|hour|hours|std|stunde|stunden|heure|heures)\.? ?(\d{1,2} ?(m|mn|min|mins|minute|minutes|minuten)?\.?)?$')
    THEN (regexp_extract(text_arg, '^(\d+)', 1)::INTEGER * 60
        + coalesce(try_cast(regexp_extract(text_arg, '^\d+ ?[A-Za-z]+\.? ?(\d{1,2})', 1) AS INTEGER), 0))::DOUBLE
    WHEN regexp_matches(lower(text_arg), '^\d{0,4}[.,]\d{1,6} ?(h|hr|hrs|hour|hours|std|stunde|stunden|heure|heures)\.?$')
    THEN try_cast(replace(regexp_extract(text_arg, '^([\d.,]+)', 1), ',', '.') AS DOUBLE) * 60
END;

-- Minutes of a text whose column says in what unit a bare number is: minutes, hours, or '' for none.
CREATE MACRO core.parsed_duration(text_arg, decimal_arg, unit_arg) AS CASE
    WHEN unit_arg = 'minutes' OR NOT regexp_matches(text_arg, '^-?[\d.,]+$')
    THEN core.parsed_minutes(text_arg, decimal_arg)
    WHEN unit_arg = 'hours' OR regexp_matches(text_arg, '^[0.,]+$')
    THEN core.parsed_minutes(text_arg, decimal_arg) * 60
END;

-- A rate of tax in percent: 20, 20%, 8.25 %, 7,7.
CREATE MACRO core.parsed_rate(text_arg, decimal_arg) AS CASE
    WHEN regexp_matches(text_arg, '^\d{1,2}([.,]\d{1,4})? ?%?$')
    THEN try_cast(core.number_text(regexp_replace(text_arg, '[ %]', '', 'g'), decimal_arg) AS DOUBLE)
END;

-- An amount without its tax: the tax as written, else by its rate.
CREATE MACRO core.net_of_tax(with_tax_arg, tax_arg, rate_arg) AS CASE
    WHEN tax_arg IS NULL AND rate_arg IS NOT NULL
    THEN core.line_amount(100 / nullif(100 + rate_arg, 0), with_tax_arg)
    ELSE with_tax_arg - coalesce(tax_arg, 0)
END;

-- The tax on an amount: as written, else what the amount with tax is more, else by its rate.
CREATE MACRO core.tax_of(net_arg, tax_arg, with_tax_arg, rate_arg) AS coalesce(
    tax_arg, with_tax_arg - net_arg, core.line_amount(rate_arg / 100, net_arg)
);

CREATE MACRO core.is_yes(text_arg) AS CASE
    WHEN lower(text_arg) IN ('yes', 'y', 'true', 't', '1', 'x') THEN TRUE
    WHEN lower(text_arg) IN ('no', 'n', 'false', 'f', '0') THEN FALSE
END;
