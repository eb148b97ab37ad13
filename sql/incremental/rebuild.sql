-- Takes out what was built from the raw tables, because everything is rebuilt.
DROP SCHEMA IF EXISTS core CASCADE;
DROP SCHEMA IF EXISTS lookups CASCADE;
DROP SCHEMA IF EXISTS shop CASCADE;
