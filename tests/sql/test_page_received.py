from tests.support.drawn import assert_drawn


def test_sources_add_up_their_files(relation):
    received = relation(
        "page.received",
        file="""
            receipt_no | source         | batch_at            | rows_read_count | accepted_count | repaired_count | rejected_count | already_held_count | skipped_count
            -----------+----------------+---------------------+-----------------+----------------+----------------+----------------+--------------------+--------------
            1          | canonical      | 2026-05-01 08:00:00 | 10              | 7              | 2              | 1              | 1                  | 1
            2          | canonical      | 2026-05-31 08:00:00 | 5               | 5              | 0              | 0              | 0                  | 0
            3          | quayside lines | 2026-05-31 08:00:00 | 4               | 3              | 0              | 0              | 0                  | 1
        """,
        job_materials="""
            job_ref  | material | issued_quantity | quoted_net_quantity | receipt_no
            ---------+----------+-----------------+---------------------+-----------
            2026-001 | resin    | 40              |                     | 1
            2026-001 | resin    |                 | 22                  | 2
            2026-002 | resin    | 30              |                     | 1
        """,
        held_back="""
            job_ref  | material | gate
            ---------+----------+-------------
            2026-001 | resin    | under-built
            2026-001 | resin    | copied
        """,
    )

    assert_drawn(
        received,
        """
        source         | file_count | rows_read_count | accepted_count | repaired_count | held_back_count | rejected_count | already_held_count | skipped_count | last_on
        ---------------+------------+-----------------+----------------+----------------+-----------------+----------------+--------------------+---------------+-----------
        own columns    | 2          | 15              | 12             | 2              | 1               | 1              | 1                  | 1             | 2026-05-31
        quayside lines | 1          | 4               | 3              | 0              | 0               | 0              | 0                  | 1             | 2026-05-31
        """,
    )
