-- Components that are replaced together for one failure: the companion is no guess where the component
-- was at fault.
-- grain: one row per appliance kind, component at fault and companion.
-- counts: both ways where either may be at fault (a fuse and its thermostat). One way where a part is taken
--         with another as a matter of course: a start device next to a bad compressor is one repair with it,
--         a compressor fitted for a bad start device is a wrong diagnosis.
-- source: sql/lookups/companions.csv, common practice, no source.
CREATE TABLE core.companions AS
SELECT kind AS appliance_kind, component, companion FROM lookups.companions
UNION
SELECT kind, companion, component FROM lookups.companions WHERE either_at_fault = 'yes';
