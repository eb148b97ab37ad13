-- Drops what depends on the causes of the whole shop, so that it is built again from all jobs.
DROP TABLE core.suspects;
DROP TABLE core.cause_chances;
DROP TABLE core.test_chances;
DROP TABLE core.evidence_patterns;
DROP TABLE core.part_evidence;
DROP TABLE core.job_patterns;
