-- How the figures of closed months differ now from what was printed, by how much and why.
--
-- Grain:     one row per month_on, job_ref, figure that differs; blank job_ref: the month's total
-- Reads:     ledger.closings, ledger.closed_figures, comparison.month_figure,
--            comparison.use_by_job, result.closed_again, feed.money_row, receipt.file, margin.job
-- Units:     GBP ex VAT. change = as_now - as_closed, a blank side 0: the job was not, or is no
--            more, among the month's. records: the part that rows bring which came in after the
--            closing; method: the rest, by settings and program; both blank where not told apart.
--            cause names the first of those rows: of the job itself where there are such, else of
--            its materials; a row of a job moves materials only where it tells a day or a status;
--            a total has the cause of the job that changed it most, and says where others have
--            another. Where a job's use is there and a rate of VAT is missing, its figures and the
--            month's are not known now: as_now and change are blank
-- Left out:  figures that are as they were printed; figures of which none was kept at the closing
WITH
closing AS (
    SELECT
        closed.month_on,
        file.batch_no,
        cast(file.batch_at AS DATE) AS came_on
    FROM ledger.closings AS closed
    INNER JOIN receipt.file AS file ON closed.receipt_no = file.receipt_no
),

kept AS (
    SELECT
        printed.month_on,
        printed.figure,
        bool_or(printed.job_ref IS NULL) AS has_total,
        bool_or(printed.job_ref IS NOT NULL) OR sum(printed.gbp) = 0 AS has_jobs
    FROM ledger.closed_figures AS printed
    WHERE printed.figure IN ('price', 'materials', 'left')
    GROUP BY printed.month_on, printed.figure
),

side AS (
    SELECT
        printed.month_on,
        printed.job_ref,
        printed.figure,
        printed.gbp AS as_closed_gbp,
        NULL AS as_now_gbp,
        NULL AS again_gbp
    FROM ledger.closed_figures AS printed
    UNION ALL
    SELECT
        standing.month_on,
        standing.job_ref,
        standing.figure,
        NULL AS as_closed_gbp,
        standing.gbp AS as_now_gbp,
        NULL AS again_gbp
    FROM comparison.month_figure AS standing
    UNION ALL
    SELECT
        again.month_on,
        again.job_ref,
        again.figure,
        NULL AS as_closed_gbp,
        NULL AS as_now_gbp,
        again.again_gbp
    FROM result.closed_again AS again
),

unknown AS (
    SELECT
        done.month_on,
        done.job_ref
    FROM margin.job AS done
    WHERE
        done.own_gbp IS NOT NULL
        AND done.left_gbp IS NULL
        AND done.price_gbp > 0
        AND done.first_job_ref IS NULL
),

changed AS (
    SELECT
        side.month_on,
        side.job_ref,
        side.figure,
        closing.batch_no,
        closing.came_on,
        max(side.as_closed_gbp) AS as_closed_gbp,
        bool_or(unknown.job_ref IS NOT NULL) AS is_unknown,
        CASE WHEN NOT is_unknown THEN max(side.as_now_gbp) END AS as_now_gbp,
        CASE
            WHEN NOT is_unknown
                THEN coalesce(max(side.as_now_gbp), 0) - coalesce(max(side.as_closed_gbp), 0)
        END AS change_gbp,
        CASE
            WHEN side.month_on IN (SELECT again.month_on FROM result.closed_again AS again)
                THEN coalesce(max(side.again_gbp), 0)
        END AS again_gbp
    FROM side
    INNER JOIN closing ON side.month_on = closing.month_on
    INNER JOIN kept ON side.month_on = kept.month_on AND side.figure = kept.figure
    LEFT JOIN unknown
        ON
            side.month_on = unknown.month_on
            AND unknown.job_ref = coalesce(side.job_ref, unknown.job_ref)
    WHERE CASE WHEN side.job_ref IS NULL THEN kept.has_total ELSE kept.has_jobs END
    GROUP BY side.month_on, side.job_ref, side.figure, closing.batch_no, closing.came_on
    HAVING coalesce(max(side.as_now_gbp), 0) != coalesce(max(side.as_closed_gbp), 0)
),

touching AS (
    SELECT
        changed.month_on,
        changed.job_ref,
        changed.figure,
        told.receipt_no,
        told.sheet,
        told.row_no,
        told.is_taken_back,
        coalesce(changed.job_ref = told.job_ref, FALSE) AS is_own
    FROM changed
    INNER JOIN feed.money_row AS told ON changed.batch_no < told.batch_no
    WHERE
        (
            changed.job_ref = told.job_ref
            AND (
                changed.figure = 'left'
                OR (changed.figure = 'price') = (told.record IN ('jobs', 'extras'))
                OR (told.record = 'jobs' AND told.tells_day)
            )
        )
        OR (
            changed.figure != 'price'
            AND (told.job_ref IS NULL OR changed.job_ref != told.job_ref)
            AND EXISTS (
                SELECT 1 FROM comparison.use_by_job AS used
                WHERE used.job_ref = changed.job_ref AND used.material = told.material
            )
        )
),

nearest AS (
    SELECT DISTINCT
        touching.month_on,
        touching.job_ref,
        touching.figure,
        touching.receipt_no,
        touching.sheet,
        touching.row_no,
        touching.is_taken_back
    FROM touching
    QUALIFY
        touching.is_own
        = bool_or(touching.is_own)
            OVER (PARTITION BY touching.month_on, touching.job_ref, touching.figure)
),

named AS (
    SELECT
        nearest.month_on,
        nearest.job_ref,
        nearest.figure,
        arg_min(
            CASE WHEN nearest.is_taken_back THEN 'taken back by ' ELSE '' END
            || file.file_name
            || CASE WHEN nearest.sheet != '' THEN ', sheet ' || nearest.sheet ELSE '' END
            || ', row '
            || nearest.row_no,
            (nearest.receipt_no, nearest.sheet, nearest.row_no)
        )
        || CASE WHEN count(*) > 1 THEN ' and ' || (count(*) - 1) || ' more' ELSE '' END AS words
    FROM nearest
    INNER JOIN receipt.file AS file ON nearest.receipt_no = file.receipt_no
    GROUP BY nearest.month_on, nearest.job_ref, nearest.figure
),

told_apart AS (
    SELECT
        changed.month_on,
        changed.job_ref,
        changed.figure,
        changed.as_closed_gbp,
        changed.as_now_gbp,
        changed.change_gbp,
        changed.is_unknown,
        CASE
            WHEN NOT changed.is_unknown
                THEN coalesce(changed.as_now_gbp, 0) - changed.again_gbp
        END AS records_gbp,
        CASE
            WHEN NOT changed.is_unknown
                THEN changed.again_gbp - coalesce(changed.as_closed_gbp, 0)
        END AS method_gbp,
        coalesce(named.words, 'files that came after ' || changed.came_on) AS rows_said,
        named.words IS NOT NULL AS is_named
    FROM changed
    LEFT JOIN named
        ON
            changed.month_on = named.month_on
            AND changed.job_ref = named.job_ref
            AND changed.figure = named.figure
),

caused AS (
    SELECT
        told.month_on,
        told.job_ref,
        told.figure,
        told.as_closed_gbp,
        told.as_now_gbp,
        told.change_gbp,
        told.records_gbp,
        told.method_gbp,
        told.is_unknown,
        CASE WHEN coalesce(told.records_gbp, 1) != 0 THEN told.rows_said END AS rows_told,
        CASE
            WHEN told.is_unknown THEN 'a rate of VAT is not known'
            WHEN told.records_gbp = 0 THEN 'settings or method'
            WHEN told.method_gbp = 0 THEN told.rows_said
            WHEN told.method_gbp IS NOT NULL THEN told.rows_said || '; and settings or method'
            WHEN told.is_named THEN told.rows_said || ', or settings or method'
            ELSE 'records, settings or method: not told apart'
        END AS cause
    FROM told_apart AS told
)

SELECT
    caused.month_on,
    caused.job_ref,
    caused.figure,
    caused.as_closed_gbp,
    caused.as_now_gbp,
    cast(caused.change_gbp AS DECIMAL(12, 2)) AS change_gbp,
    cast(caused.records_gbp AS DECIMAL(12, 2)) AS records_gbp,
    cast(caused.method_gbp AS DECIMAL(12, 2)) AS method_gbp,
    CASE
        WHEN caused.job_ref IS NULL AND NOT caused.is_unknown
            THEN
                coalesce(
                    first_value(
                        CASE WHEN caused.job_ref IS NOT NULL THEN caused.cause END
                    ) OVER (
                        PARTITION BY caused.month_on, caused.figure
                        ORDER BY
                            caused.job_ref IS NULL ASC, abs(caused.change_gbp) DESC,
                            caused.job_ref ASC
                    ),
                    caused.cause
                )
                || CASE
                    WHEN
                        count(DISTINCT caused.rows_told) FILTER (WHERE caused.job_ref IS NOT NULL)
                            OVER (PARTITION BY caused.month_on, caused.figure)
                        > 1
                        THEN '; on other jobs other causes'
                    ELSE ''
                END
        ELSE caused.cause
    END AS cause
FROM caused
