-- Use that has been creeping up or going down, what was last found first.
--
-- Grain:     one row per material, signal_on
-- Reads:     result.drift, usage.calendar
-- Units:     miss_ratio over base, a running average at the job at which it was plain; is_lately:
--            found in the last three months, or not acted on yet
-- Left out:  nothing
SELECT
    found.material,
    found.since_month,
    found.signal_on,
    found.miss_ratio,
    found.sentence,
    found.direction = 'up' AS is_rising,
    found.state = 'act' AS is_acted_on,
    found.state = 'look' OR found.signal_on >= calendar.lately_from_on AS is_lately
FROM result.drift AS found
CROSS JOIN usage.calendar AS calendar
ORDER BY is_lately DESC, found.signal_on DESC, found.material ASC
