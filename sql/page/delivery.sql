-- What delivery cost lately: inside the material of the finished jobs, and on a line of its own.
--
-- Grain:     one row
-- Reads:     comparison.margin_part, feed.own_line, usage.calendar
-- Units:     GBP. in_jobs: carriage in the lots that the jobs took, part of the buying price;
--            own_line: carriage that stands in no lot, by the day on which it came
-- Left out:  carriage of stock on a moving average, which is not told apart
SELECT
    cast(
        coalesce(
            (
                SELECT sum(part.delivery_gbp)
                FROM comparison.margin_part AS part
                WHERE
                    part.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
            ),
            0
        ) AS DECIMAL(12, 2)
    ) AS in_jobs_gbp,
    cast(
        coalesce(
            (
                SELECT sum(own.net_pence) * 0.01
                FROM feed.own_line AS own
                WHERE
                    own.line_kind = 'carriage'
                    AND own.received_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
            ),
            0
        ) AS DECIMAL(12, 2)
    ) AS own_line_gbp
FROM usage.calendar AS calendar
