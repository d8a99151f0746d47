-- How near the suggestions would have come on past jobs, beside other ways of allowing.
--
-- Grain:     one row per material, and one for all of them
-- Reads:     result.score
-- Units:     GBP over the jobs of twelve months, errors without regard to their sign; beyond:
--            charged less used, a line; covered: share of lines, or of jobs, that needed no more
--            than was loaded. Allowed: what stood then, decided or as quoted, beside the
--            suggestions on the lines of which that is known
-- Left out:  lines for which nothing was suggested before their month; materials without a price
SELECT
    score.material,
    score.material = 'all' AS is_all,
    max(score.month_count) AS month_count,
    max(score.priced_line_count) AS line_count,
    max(score.job_count) AS job_count,
    max(CASE WHEN score.method = 'as suggested' THEN score.cost_error_gbp END)
        AS suggested_error_gbp,
    max(CASE WHEN score.method = 'as allowed' THEN score.priced_line_count END)
        AS allowed_line_count,
    max(CASE WHEN score.method = 'as allowed' THEN score.cost_error_gbp END)
        AS allowed_error_gbp,
    max(CASE WHEN score.method = 'as allowed' THEN score.suggested_error_gbp END)
        AS suggested_beside_allowed_gbp,
    max(CASE WHEN score.method = 'a tenth on top' THEN score.cost_error_gbp END)
        AS tenth_error_gbp,
    max(CASE WHEN score.method = 'one ratio' THEN score.cost_error_gbp END) AS ratio_error_gbp,
    max(CASE WHEN score.method = 'as suggested' THEN score.mean_error_gbp END)
        AS suggested_beyond_gbp,
    max(CASE WHEN score.method = 'a tenth on top' THEN score.mean_error_gbp END)
        AS tenth_beyond_gbp,
    max(CASE WHEN score.method = 'as suggested' THEN score.covered_line_ratio END)
        AS covered_line_ratio,
    max(CASE WHEN score.method = 'as suggested' THEN score.covered_job_ratio END)
        AS covered_job_ratio
FROM result.score AS score
WHERE score.cost_error_gbp IS NOT NULL
GROUP BY score.material
ORDER BY is_all DESC, tenth_error_gbp DESC, score.material ASC
