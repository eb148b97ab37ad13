-- The complaints whose jobs have readings, to pick from.
-- grain: one row per appliance kind and complaint.
SELECT appliance_kind, symptom, count(*) AS readings,
FROM core.readings_in($from_date, $to_date, $branch, $technician, $appliance_kind, $symptom)
GROUP BY appliance_kind, symptom
ORDER BY readings DESC, appliance_kind, symptom;
