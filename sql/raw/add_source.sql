-- One table of one file, as it was landed.
INSERT INTO raw.sources BY NAME
SELECT
    $source_id AS source_id,
    $load_no AS load_no,
    $file AS file,
    $sheet AS sheet,
    $table_name AS table_name,
    $mapping AS mapping,
    $content_hash AS content_hash,
    $columns_hash AS columns_hash,
    $header AS header,
    $unmapped AS unmapped,
    $rows_read AS rows_read,
    $note_readings AS note_readings,
    $notes_unread AS notes_unread,
    $date_system AS date_system,
    $landed_on AS landed_on,
    $numbering AS numbering,
    $has_lines AS has_lines,
    $job_time_unit AS job_time_unit,
    $travel_time_unit AS travel_time_unit,
    $line_time_unit AS line_time_unit,
    $missing AS missing;
