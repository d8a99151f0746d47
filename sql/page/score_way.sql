-- Every way of allowing, tried on the jobs of twelve months: all materials together.
--
-- Grain:     one row per method
-- Reads:     result.score
-- Units:     pinball_ratio over base: the miss of the load, what was short counted by the share of
--            jobs that shall not run short, what was left over by the rest; the suggestions on the
--            same lines beside it; GBP over the priced lines
-- Left out:  lines for which nothing was suggested before their month
SELECT
    score.method,
    score.line_count,
    score.pinball_ratio,
    score.suggested_pinball_ratio,
    score.cost_error_gbp,
    score.covered_line_ratio,
    score.covered_job_ratio
FROM result.score AS score
WHERE score.material = 'all'
ORDER BY score.pinball_ratio ASC, score.method ASC
