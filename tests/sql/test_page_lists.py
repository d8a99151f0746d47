import pytest

from tests.support.drawn import assert_drawn

LISTS = {
    "page.booked_job": (
        {
            "jobs": """
                job_ref  | status    | planned_on | area_m2
                ---------+-----------+------------+--------
                2026-001 | booked    | 2026-06-20 | 20
                2026-002 | quoted    |            | 20
                2026-003 | completed | 2026-05-01 | 20
            """
        },
        """
        job_ref  | planned_on
        ---------+-----------
        2026-001 | 2026-06-20
        """,
    ),
    "page.open_order": (
        {
            "orders": """
                order_no | supplier | material | packs | ordered_on | received_packs | cancelled_on
                ---------+----------+----------+-------+------------+----------------+-------------
                1        | Quayside | resin    | 4     | 2026-05-20 |                |
                2        | Quayside | resin    | 4     | 2026-05-20 | 3              |
                3        | Quayside | resin    | 4     | 2026-05-20 | 4              |
                4        | Quayside | resin    | 4     | 2026-05-20 |                | 2026-05-21
            """
        },
        """
        order_no | packs | received_packs
        ---------+-------+---------------
        1        | 4     | 0
        2        | 4     | 3
        """,
    ),
    "page.unreadable_file": (
        {
            "file": """
                receipt_no | file_name | outcome           | message
                -----------+-----------+-------------------+-------------
                1          | good.csv  | taken in          |
                2          | photo.jpg | could not be read | is a picture
                3          | scan.pdf  | to type in        | is a scan
            """
        },
        """
        file_name | message
        ----------+-------------
        photo.jpg | is a picture
        """,
    ),
    "page.reject": (
        {
            "file": """
                receipt_no | file_name
                -----------+----------
                1          | jobs.csv
            """,
            "reject": """
                receipt_no | sheet | row_no | column_name | value | reason        | remedy
                -----------+-------+--------+-------------+-------+---------------+---------
                1          | Jobs  | 7      | quoted_on   | 03/04 | two dates fit | type ISO
            """,
        },
        """
        file_name | sheet | row_no | column_name | value | reason        | remedy
        ----------+-------+--------+-------------+-------+---------------+---------
        jobs.csv  | Jobs  | 7      | quoted_on   | 03/04 | two dates fit | type ISO
        """,
    ),
    "page.set_aside": (
        {
            "held_back": """
                job_ref  | material | gate   | reason
                ---------+----------+--------+-----------------
                2026-001 | resin    | copied | 30 kg on 2 m2: -
            """,
            "jobs": """
                job_ref  | job_type | completed_on
                ---------+----------+-------------
                2026-001 | garage   | 2026-05-31
            """,
            "job_quantity": """
                job_ref  | material | base_unit | used_quantity
                ---------+----------+-----------+--------------
                2026-001 | resin    | kg        | 30
            """,
        },
        """
        job_ref  | job_type | material | used_quantity | base_unit | reason
        ---------+----------+----------+---------------+-----------+-----------------
        2026-001 | garage   | resin    | 30            | kg        | 30 kg on 2 m²: -
        """,
    ),
    "page.suggestion": (
        {
            "proposal": """
                material | job_type | is_offered | suggested_price_ratio | suggested_load_ratio
                ---------+----------+------------+-----------------------+---------------------
                resin    | garage   | true       | 0.1                   | 0.25
                nails    | garage   | true       | 0.1                   | 0.25
            """,
            "suggested_by_job_type": """
                material | job_type | at_stake_gbp
                ---------+----------+-------------
                resin    | garage   | 18.00
            """,
            "allowed_by_job_type": """
                material | job_type | size | base_quantity
                ---------+----------+------+--------------
                resin    | garage   | 100  | 120
            """,
        },
        """
        material | at_stake_gbp | charge_rate | load_rate
        ---------+--------------+-------------+----------
        nails    |              |             |
        resin    | 18.00        | 1.32        | 1.5
        """,
    ),
}


@pytest.mark.parametrize("name", LISTS)
def test_list_holds_what_it_says(relation, name):
    drawings, expected = LISTS[name]

    assert_drawn(relation(name, **drawings), expected)
