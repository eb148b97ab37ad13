-- Components that are replaced together for one failure: neither is a guess when the other was at fault.
-- grain: one row per appliance kind and ordered pair.
-- source: sql/lookups/companions.csv, common practice, no source.
CREATE TABLE core.companions AS
SELECT kind AS appliance_kind, component, companion FROM lookups.companions
UNION
SELECT kind, companion, component FROM lookups.companions;
