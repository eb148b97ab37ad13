-- The meters whose error is known by name; '' is an ordinary one.
-- grain: one row per meter.
SELECT DISTINCT meter,
FROM core.meters
ORDER BY meter;
