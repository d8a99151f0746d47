import pytest

MATERIALS = """
    material  | kind | stock_length_mm
    ----------+------+----------------
    resin     | resin |
    drip trim | trim | 3000
"""

FAULTS = {
    "counts_do_not_add_up": (
        {
            "count_interval": """
                material | from_on    | to_on      | opening_quantity | closing_quantity | difference_quantity
                ---------+------------+------------+------------------+------------------+--------------------
                mat      | 2026-03-31 | 2026-04-30 | 50               | 30               | 20
                mat      | 2026-04-30 | 2026-05-31 | 30               | 10               | 5
                resin    | 2026-03-31 | 2026-04-30 | 50               | 30               | 10
                resin    | 2026-04-30 | 2026-05-31 | 30               | 10               | 20
            """,
            "stock_move": """
                material | moved_on   | quantity
                ---------+------------+---------
                mat      | 2026-03-31 | -9
                mat      | 2026-05-31 | -15
                mat      | 2026-06-01 | -9
                resin    | 2026-04-10 | -15
            """,
        },
        [
            "resin: counts and movements from 2026-03-31 to 2026-05-31 come to 25.000, the differences to 30.000"
        ],
    ),
    "material_without_job": (
        {
            "count_month": """
                month_on   | no_job_gbp | evidence_sentence
                -----------+------------+--------------------------------------------------
                2025-05-01 | 300.00     | £300 of material this month has no job against it.
                2026-04-01 | 0.49       | All of it has.
                2026-05-01 | 211.60     | £212 of material this month has no job against it.
            """
        },
        ["May 2026: £212 of material this month has no job against it."],
    ),
    "rows_not_accounted_for": (
        {
            "file": """
                receipt_no | file_name | rows_read_count | accepted_count | rejected_count | already_held_count | skipped_count
                -----------+-----------+-----------------+----------------+----------------+--------------------+--------------
                1          | good.csv  | 10              | 6              | 2              | 1                  | 1
                2          | lost.csv  | 11              | 6              | 2              | 1                  | 1
            """
        },
        ["lost.csv: 11 rows read, 10 with an outcome"],
    ),
    "accepted_rows_not_held": (
        {
            "file": """
                receipt_no | file_name | accepted_count
                -----------+-----------+---------------
                1          | good.csv  | 2
                2          | lost.csv  | 1
            """,
            "jobs": """
                job_ref  | receipt_no
                ---------+-----------
                2026-001 | 1
            """,
            "edges": """
                job_ref  | receipt_no
                ---------+-----------
                2026-001 | 1
            """,
        },
        ["lost.csv: 1 rows accepted, 0 held"],
    ),
    "lots_do_not_add_up": (
        {
            "lot": """
                material | lot_no | how     | supplier | quantity | cost_pence
                ---------+--------+---------+----------+----------+-----------
                resin    | 1      | opening |          | 10       | 3000
                resin    | 2      | bought  | Quayside | 20       | 6400
                mat      | 1      | bought  | Quayside | 60       | 9000
                board    | 1      | bought  | Hillside | 6        | 4000
                glue     | 1      | opening |          | 5        |
            """,
            "stock_out": """
                material | out_no | out_on     | quantity
                ---------+--------+------------+---------
                resin    | 1      | 2026-05-04 | 12
                resin    | 2      | 2026-05-05 | 2
                mat      | 1      | 2026-05-05 | 61
                glue     | 1      | 2026-05-05 | 1
            """,
            "issue_cost": """
                material | out_no | lot_no | quantity | cost_gbp | how          | is_from_stock
                ---------+--------+--------+----------+----------+--------------+--------------
                resin    | 1      | 1      | 10       | 30.00    | fifo         | true
                resin    | 1      | 2      | 2        | 6.40     | next receipt | true
                mat      | 1      | 1      | 60       | 90.01    | fifo         | true
                mat      | 1      |        | 1        | 1.50     | list         | false
                glue     | 1      |        | 1        |          | no price     | true
            """,
            "lot_left": """
                material | lot_no | left_quantity | left_gbp
                ---------+--------+---------------+---------
                resin    | 2      | 18            | 57.60
                board    | 1      | 5             | 40.00
                glue     | 1      | 4             |
            """,
            "purchase_line": """
                supplier | net_pence
                ---------+----------
                Quayside | 15400
                Quayside | 2000
                Hillside | 4000
                Hillside | 1200
            """,
            "own_line": """
                supplier | net_pence
                ---------+----------
                Quayside | 2000
                Hillside | 1201
            """,
        },
        [
            "Hillside: £52.00 bought, the lots and the lines beside them come to £52.01",
            "board: what came in is not what went out and what is left, by 1.000",
            "mat: what came in is not what went out and what is left, by £-0.01",
            "resin out on 2026-05-05: 2.000 went out, 0.000 are costed",
        ],
    ),
    "month_bridge_does_not_add_up": (
        {
            "month_bridge": """
                month_on   | difference_gbp
                -----------+---------------
                2026-04-01 | 0
                2026-05-01 | -0.01
            """,
            "lots_at_month_end": """
                material | month_on   | left_pence
                ---------+------------+-----------
                resin    | 2026-05-01 | 100
                resin    | 2026-06-01 | 7600
                mat      | 2026-06-01 | 7601
                board    | 2026-06-01 | 0
                glue     | 2026-06-01 |
            """,
            "lot_left": """
                material | lot_no | left_gbp
                ---------+--------+---------
                resin    | 1      | 70.00
                resin    | 2      | 6.00
                mat      | 1      | 76.00
            """,
        },
        [
            "May 2026: what lay in stock, came and went does not come to what is left, by £-0.01",
            "mat: £76.01 lie in its lots, one by one £76.00",
        ],
    ),
    "credit_names_no_invoice": (
        {
            "purchases": """
                supplier | document_type | document_no | document_on | line_no | line_net_gbp | credits_document_no
                ---------+---------------+-------------+-------------+---------+--------------+--------------------
                Quayside | invoice       | 30000       | 2026-05-01  | 1       | 82.00        |
                Quayside | credit        | 40001       | 2026-05-04  | 1       | -41.00       | 30000
                Quayside | credit        | 40002       | 2026-05-04  | 1       | -41.00       | 39999
                Quayside | credit        | 40002       | 2026-05-04  | 2       | -1.00        | 39999
                Thorn    | credit        | 40003       | 2026-05-04  | 1       | -5.00        | 30000
                Thorn    | credit        | 40004       | 2026-05-04  | 1       | -5.00        |
            """,
        },
        [
            "credit 40002 of Quayside, -42.00 GBP, lowers invoice 39999, which is not here: hand it in",
            "credit 40003 of Thorn, -5.00 GBP, lowers invoice 30000, which is not here: hand it in",
        ],
    ),
    "invoice_line_stands_twice": (
        {
            "file": """
                receipt_no | is_proved
                -----------+----------
                1          | false
                2          | true
            """,
            "purchases": """
                supplier | document_type | document_no | document_on | description | packs | line_no | line_net_gbp | lot | vat_pct | receipt_no
                ---------+---------------+-------------+-------------+-------------+-------+---------+--------------+-----+---------+-----------
                Quayside | invoice       | 30000       | 2026-05-01  | Resin       | 1     |         | 82.00        |     |         | 1
                Quayside | invoice       | 30000       | 2026-05-01  | Resin       | 1     |         | 82.00        |     |         | 1
                Quayside | invoice       | 30000       | 2026-05-01  | Resin       | 2     |         | 82.00        |     |         | 1
                Quayside | invoice       | 30001       | 2026-05-01  | Resin       | 1     | 1       | 82.00        |     |         | 1
                Quayside | invoice       | 30001       | 2026-05-01  | Resin       | 1     | 2       | 82.00        |     |         | 1
                Quayside | invoice       | 30002       | 2026-05-01  | Sample      | 1     |         | 0.00         |     |         | 1
                Quayside | invoice       | 30002       | 2026-05-01  | Sample      | 1     |         | 0.00         |     |         | 1
                Quayside | invoice       | 30003       | 2026-05-01  | Resin       | 1     |         | 82.00        |     |         | 2
                Quayside | invoice       | 30003       | 2026-05-01  | Resin       | 1     |         | 82.00        |     |         | 2
                Quayside | invoice       | 30004       | 2026-05-01  | Resin       | 1     |         | 82.00        | 217 |         | 1
                Quayside | invoice       | 30004       | 2026-05-01  | Resin       | 1     |         | 82.00        | 218 |         | 1
                Quayside | invoice       | 30005       | 2026-05-01  | Allowance   |       |         | -4.00        |     | 20      | 1
                Quayside | invoice       | 30005       | 2026-05-01  | Allowance   |       |         | -4.00        |     | 5       | 1
            """,
        },
        ["document 30000 of Quayside: Resin at 82.00 GBP stands twice: look at the paper"],
    ),
    "job_material_without_job": (
        {
            "materials": MATERIALS,
            "jobs": """
                job_ref
                --------
                2026-001
            """,
            "job_materials": """
                job_ref  | material | entry
                ---------+----------+------
                2026-001 | resin    | 1
                2026-001 | glue     | 1
                2026-002 | resin    | 1
            """,
        },
        ["glue on job 2026-001: no such material", "resin on job 2026-002: no such job"],
    ),
    "quantity_not_filled": (
        {
            "purchases": """
                material | supplier | document_no | line_kind | packs | pack_size | quantity | receipt_no | row_no
                ---------+----------+-------------+-----------+-------+-----------+----------+------------+-------
                resin    | Quayside | 1001        | goods     | 2     | 20        |          | 1          | 2
                resin    | Quayside | 1002        | goods     | 2     | 20        | 40       | 1          | 3
                resin    | Quayside | 1003        | goods     |       |           |          | 1          | 4
            """,
            "stock_counts": """
                material | counted_on | quantity | receipt_no | row_no
                ---------+------------+----------+------------+-------
                resin    | 2026-05-31 |          | 2          | 2
            """,
        },
        ["resin on Quayside 1001: no quantity", "resin counted on 2026-05-31: no quantity"],
    ),
    "page_total_not_sum_of_lines": (
        {
            "left_by_month": """
                month_on   | materials_gbp
                -----------+--------------
                2026-05-01 | 62.34
            """,
            "left_by_job_type": """
                job_type | materials_gbp
                ---------+--------------
                garage   | 62.33
            """,
            "allowed_and_used": """
                material | difference_gbp
                ---------+---------------
                resin    | 2.33
            """,
            "job": """
                job_ref  | completed_on | price_gbp | left_gbp
                ---------+--------------+-----------+---------
                2026-001 | 2026-05-31   | 1000.00   | 937.67
            """,
            "use_by_job": """
                job_ref  | material | completed_on | cost_gbp
                ---------+----------+--------------+---------
                2026-001 | resin    | 2026-05-31   | 62.33
            """,
            "taken_lately": """
                job_ref  | material | difference_gbp
                ---------+----------+---------------
                2026-001 | resin    | 2.33
            """,
        },
        ["materials by month: £62.34 printed, its lines come to £62.33"],
    ),
    "rack_piece_never_racked": (
        {
            "offcuts": """
                job_ref  | material  | length_mm | pieces | fate      | piece
                ---------+-----------+-----------+--------+-----------+--------
                2026-001 | drip trim | 1500      | 1      | racked    | red tag
                2026-002 | drip trim | 1500      | 1      | from_rack | red tag
                2026-003 | drip trim | 1000      | 1      | from_rack | no tag
            """
        },
        [
            "drip trim piece no tag was taken for job 2026-003, and no record says that it was racked",
            "drip trim: 2.5 m were taken from the rack, and only 1.5 m put there",
        ],
    ),
    "returned_more_than_issued": (
        {
            "job_quantity": """
                job_ref  | material | base_unit | used_quantity
                ---------+----------+-----------+--------------
                2026-001 | resin    | kg        | -1.5
                2026-002 | resin    | kg        | 0
            """
        },
        ["resin on job 2026-001: -1.500 kg used, as more came back than went out"],
    ),
    "job_finished_later": (
        {
            "jobs": """
                job_ref  | completed_on
                ---------+-------------
                2026-001 | 2026-06-01
                2026-002 | 2026-06-02
            """
        },
        ["job 2026-002 was finished on 2026-06-02, after 2026-06-01: it is in no figure yet"],
    ),
    "job_finished_before_quote": (
        {
            "jobs": """
                job_ref  | quoted_on  | completed_on
                ---------+------------+-------------
                2026-001 | 2026-05-04 | 2026-05-04
                2026-002 | 2026-05-04 | 2026-05-03
            """
        },
        [
            (
                "job 2026-002 was finished on 2026-05-03, before its quote of 2026-05-04: one of the "
                "two dates is wrong"
            )
        ],
    ),
    "offcut_longer_than_length": (
        {
            "materials": MATERIALS,
            "offcuts": """
                job_ref  | material  | length_mm
                ---------+-----------+----------
                2026-001 | drip trim | 3000
                2026-002 | drip trim | 3001
                2026-002 | resin     | 9000
            """,
        },
        ["drip trim piece of 3001 mm on job 2026-002: a new length is 3000 mm"],
    ),
    "corner_ends_do_not_pair": (
        {
            "edge_run": """
                job_ref  | edge_no | corner_piece | corner_end_count
                ---------+---------+--------------+-----------------
                2026-001 | 1       | drip corner  | 2
                2026-001 | 2       | drip corner  | 1
                2026-002 | 1       | drip corner  | 1
                2026-002 | 2       | drip corner  | 1
            """
        },
        [
            (
                "job 2026-001: 3 ends at drip corner, and two neighbouring ends make one piece: a "
                "neighbour says otherwise"
            ),
        ],
    ),
    "edge_shorter_than_its_corners": (
        {
            "edge_run": """
                job_ref  | edge_no | material  | quoted_edge_mm | quoted_run_mm | fitted_run_mm
                ---------+---------+-----------+----------------+---------------+--------------
                2026-001 | 1       | drip trim | 300            | 0             |
                2026-001 | 2       | drip trim | 301            | 1             | 1
            """
        },
        ["job 2026-001 edge 1: 300 mm of drip trim are covered by corner pieces alone"],
    ),
    "call_back_without_first_job": (
        {
            "jobs": """
                job_ref  | remedial_of
                ---------+------------
                2026-001 |
                2026-002 | 2026-001
                2026-003 | 2026-002
                2026-004 | 2026-999
                2026-005 | 2026-005
            """,
        },
        [
            "2026-003 puts right 2026-002, which is a call-back: name the first job",
            "2026-004 puts right 2026-999, which is no job on record",
            "2026-005 puts right 2026-005, which is the job itself",
        ],
    ),
    "lay_up_not_in_settings": (
        {
            "jobs": """
                job_ref  | lay_up
                ---------+-----------
                2026-001 | 450 single
                2026-002 | 900 woven
                2026-003 |
            """,
            "lay_up": """
                lay_up
                ----------
                450 single
            """,
        },
        [
            (
                'lay-up "900 woven" of 1 jobs is not in the settings: its resin and mat cannot be '
                "worked out"
            ),
        ],
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_check_finds_what_it_is_for_and_nothing_else(relation, name):
    drawings, faults = FAULTS[name]

    assert relation(f"checks.{name}", **drawings)["fault"].to_list() == faults


@pytest.mark.parametrize("name", FAULTS)
def test_check_is_content_with_nothing_handed_in(relation, name):
    assert relation(f"checks.{name}").is_empty()
