-- Month by month: whether the sums of the counts add up, and what no job and no loss answers for.
--
-- Grain:     one row per month_on, the month of the later count
-- Reads:     stock.count_interval, result.count_test
-- Units:     GBP at the price in force. no_job: less than the papers say, beyond counting error
--            and the floor of the settings, and no miscount; more: more than they say, likewise;
--            within: tested differences that are not beyond, less above 0. not_tested_count: spans
--            between counts in which a job does not say what it took. went: what the jobs took, of
--            tested spans; a share below 1 in 100 is said as 1. Two sentences, for people
-- Left out:  differences of which no price is known, counted as unpriced
WITH
line AS (
    SELECT
        test.material,
        test.to_on,
        test.difference_quantity,
        test.difference_gbp,
        test.is_tested,
        test.is_beyond,
        test.signature,
        cast(
            (
                span.issued_quantity
                + span.from_rack_quantity
                - span.returned_quantity
                - span.racked_quantity
            ) * span.price_gbp AS DECIMAL(24, 6)
        ) AS went_gbp,
        span.opening_quantity
        + span.bought_quantity
        - span.to_supplier_quantity
        - span.issued_quantity
        + span.returned_quantity
        + span.racked_quantity
        - span.from_rack_quantity
        - span.scrapped_quantity
        - span.lost_quantity
        - span.difference_quantity
        = span.closing_quantity AS adds_up
    FROM result.count_test AS test
    INNER JOIN stock.count_interval AS span
        ON test.material = span.material AND test.to_on = span.to_on
),

summed AS (
    SELECT
        cast(date_trunc('month', line.to_on) AS DATE) AS month_on,
        count(*) AS span_count,
        bool_and(line.adds_up) AS adds_up,
        count(*) FILTER (WHERE NOT line.is_tested) AS not_tested_count,
        count(*) FILTER (WHERE line.is_beyond) AS beyond_count,
        count(*) FILTER (WHERE line.is_tested AND line.difference_gbp IS NULL) AS unpriced_count,
        sum(line.difference_gbp) FILTER (
            WHERE line.is_beyond
            AND line.difference_quantity > 0
            AND line.signature != 'miscount'
        ) AS no_job_gbp,
        -sum(line.difference_gbp) FILTER (
            WHERE line.is_beyond
            AND line.difference_quantity < 0
            AND line.signature != 'miscount'
        ) AS more_gbp,
        sum(line.difference_gbp) FILTER (WHERE line.is_tested AND NOT line.is_beyond)
            AS within_gbp,
        sum(cast(line.went_gbp AS DECIMAL(12, 2))) FILTER (WHERE line.is_tested) AS went_gbp
    FROM line
    GROUP BY cast(date_trunc('month', line.to_on) AS DATE)
)

SELECT
    summed.month_on,
    summed.span_count,
    summed.adds_up,
    summed.not_tested_count,
    summed.beyond_count,
    summed.unpriced_count,
    cast(coalesce(summed.no_job_gbp, 0) AS DECIMAL(12, 2)) AS no_job_gbp,
    cast(coalesce(summed.more_gbp, 0) AS DECIMAL(12, 2)) AS more_gbp,
    cast(coalesce(summed.within_gbp, 0) AS DECIMAL(12, 2)) AS within_gbp,
    cast(coalesce(summed.went_gbp, 0) AS DECIMAL(12, 2)) AS went_gbp,
    CASE WHEN summed.adds_up THEN 'The sums add up.' ELSE 'The sums do not add up.' END
        AS sums_sentence,
    CASE
        WHEN round(summed.no_job_gbp, 0) > 0
            THEN
                '£' || format('{:,}', cast(round(summed.no_job_gbp, 0) AS BIGINT))
                || ' of material this month has no job against it ('
                || greatest(
                    cast(
                        round(
                            100 * summed.no_job_gbp
                            / (summed.no_job_gbp + greatest(coalesce(summed.went_gbp, 0), 0))
                        ) AS BIGINT
                    ),
                    1
                )
                || ' in every 100 pounds that went).'
        WHEN summed.not_tested_count = summed.span_count
            THEN
                'Not known: jobs of this month do not say what they took.'
        ELSE 'All material this month has a job or a loss against it, as far as counts can tell.'
    END AS evidence_sentence
FROM summed
