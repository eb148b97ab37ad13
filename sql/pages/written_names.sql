-- Every name of a technician, branch, brand, model or supplier as loaded, with its number of jobs.
-- grain: one row per mapping, field and name.
WITH names AS (
    SELECT mapping, 'technician' AS field, technician AS name, job_id
    FROM core.jobs WHERE technician IS NOT NULL
    UNION
    SELECT jobs.mapping, 'technician', visits.technician, jobs.job_id
    FROM core.visits AS visits
    INNER JOIN core.jobs AS jobs ON visits.job_id = jobs.job_id
    UNION ALL
    SELECT mapping, 'branch', branch, job_id FROM core.jobs WHERE branch IS NOT NULL
    UNION ALL
    SELECT mapping, 'brand', brand, job_id FROM core.jobs WHERE brand IS NOT NULL
    UNION ALL
    SELECT mapping, 'model', model, job_id FROM core.jobs WHERE model IS NOT NULL
    UNION ALL
    SELECT DISTINCT jobs.mapping, 'supplier', lines.supplier, jobs.job_id
    FROM core.part_lines AS lines
    INNER JOIN core.jobs AS jobs ON lines.job_id = jobs.job_id
    WHERE lines.supplier IS NOT NULL
)

SELECT mapping, field, name, count(*) AS jobs,
FROM names
GROUP BY mapping, field, name
ORDER BY mapping, field, jobs DESC, name;
