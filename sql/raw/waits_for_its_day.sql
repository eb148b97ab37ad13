-- The files with rows that wait because their dates were in the future on the day they were landed.
-- grain: one row per content; the version is attached as old.
-- counts: the clock may have been behind: such a file is read again when it is loaded again later.
SELECT DISTINCT sources.content_hash
FROM old.core.problems AS problems
INNER JOIN old.raw.sources AS sources ON problems.source_id = sources.source_id
WHERE problems.code = 'date_in_future' AND sources.landed_on < $day
ORDER BY sources.content_hash;
