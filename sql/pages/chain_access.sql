-- What must be opened on each appliance kind, and what hangs on what.
-- grain: one row per appliance kind and access level.
-- unit: minutes to open, and to close at the end of the job.
SELECT
    kind AS appliance_kind,
    access_level,
    parent,
    open_min::DOUBLE AS open_min,
    close_min::DOUBLE AS close_min,
    label,
    hazards,
FROM lookups.teardown
ORDER BY kind, access_level;
