-- Takes out what was built from the raw tables, for everything is built anew.
DROP SCHEMA IF EXISTS core CASCADE;
DROP SCHEMA IF EXISTS lookups CASCADE;
DROP SCHEMA IF EXISTS shop CASCADE;
