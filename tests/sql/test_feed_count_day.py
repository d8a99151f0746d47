from tests.support.drawn import assert_drawn

MATERIALS = """
    material | kind  | base_unit | pack_size | g_per_m2 | density_kg_per_l
    ---------+-------+-----------+-----------+----------+-----------------
    resin    | resin | kg        | 20        |          | 1.1
    mat      | mat   | m2        | 76        | 450      |
    trim     | trim  | m         | 3         |          |
"""

COUNTING = """
    weighing_error_kg | judged_error_ratio | count_floor_gbp
    ------------------+--------------------+----------------
    0.5               | 0.1                | 25
"""


def test_a_count_is_out_by_its_open_packs_alone(relation):
    counted = relation(
        "feed.count_day",
        materials=MATERIALS,
        counting=COUNTING,
        stock_counts="""
            material | place | counted_on | quantity | full_packs | part | part_gross_kg | length_mm
            ---------+-------+------------+----------+------------+------+---------------+----------
            resin    | yard  | 2026-04-30 | 60       | 3          |      |               |
            resin    | van   | 2026-04-30 | 9.5      | 0          |      | 10.7          |
            mat      | yard  | 2026-04-30 | 76       | 1          |      |               |
            mat      | van   | 2026-04-30 | 114      | 1          | 0.5  |               |
            trim     | yard  | 2026-04-30 | 9        |            |      |               | 3000
            trim     | van   | 2026-04-30 | 1.234    |            |      |               | 1234
            mat      | yard  | 2026-05-31 | 100      |            |      |               |
            mat      | van   | 2026-05-31 | 38       | 0          | 0.5  | 17.6          |
        """,
    )

    # resin: 0.5 kg weighed. mat: a tenth of 76 = 7.6 judged; then 100 m2 is no whole number of
    # rolls, and a roll of 450 g/m2 weighed to 0.5 kg is out by 0.5 / 0.45 = 1.111 m2
    assert_drawn(
        counted,
        """
        material | counted_on | quantity | sealed_quantity | variance  | sealed_variance | missing_places
        ---------+------------+----------+-----------------+-----------+-----------------+---------------
        resin    | 2026-04-30 | 69.5     | 60              | 0.25      | 0               |
        mat      | 2026-04-30 | 190      | 152             | 57.76     | 0               |
        trim     | 2026-04-30 | 10.234   | 10.234          | 0         | 0               |
        mat      | 2026-05-31 | 138      | 100             | 58.994568 | 57.76           |
        """,
    )


def test_a_place_not_counted_is_missed_only_where_the_material_stood(relation):
    counted = relation(
        "feed.count_day",
        materials=MATERIALS,
        counting=COUNTING,
        stock_counts="""
            material | place | counted_on | quantity | full_packs
            ---------+-------+------------+----------+-----------
            resin    | yard  | 2026-03-31 | 60       | 3
            resin    | van   | 2026-03-31 | 20       | 1
            mat      | yard  | 2026-03-31 | 76       | 1
            resin    | yard  | 2026-04-30 | 40       | 2
            mat      | yard  | 2026-04-30 | 76       | 1
            resin    | yard  | 2026-05-31 | 40       | 2
            mat      | van   | 2026-05-31 | 76       | 1
            mat      | yard  | 2026-05-31 | 0        | 0
        """,
    )

    # in April nobody looked into the van; in May its list no longer names resin
    assert_drawn(
        counted,
        """
        material | counted_on | missing_places
        ---------+------------+---------------
        resin    | 2026-03-31 |
        resin    | 2026-04-30 | van
        resin    | 2026-05-31 |
        mat      | 2026-03-31 |
        mat      | 2026-04-30 |
        mat      | 2026-05-31 |
        """,
    )


def test_lots_hold_no_piece_shorter_than_a_new_length_or_sheet(relation):
    counted = relation(
        "feed.count_day",
        counting=COUNTING,
        materials="""
            material  | base_unit | pack_size | stock_length_mm | length_mm
            ----------+-----------+-----------+-----------------+----------
            drip trim | m         | 3         | 3000            |
            board     | m2        | 2.88      |                 | 2400
            nails     | each      | 1000      |                 |
        """,
        stock_counts="""
            material  | place | counted_on | quantity | length_mm | full_packs | part
            ----------+-------+------------+----------+-----------+------------+-----
            drip trim | yard  | 2026-03-31 | 15       | 3000      |            |
            drip trim | van   | 2026-03-31 | 3        |           |            |
            drip trim | yard  | 2026-03-31 | 1.2      | 1200      |            |
            board     | yard  | 2026-03-31 | 0.84     | 700       |            |
            nails     | yard  | 2026-03-31 | 3500     |           | 3          | 0.5
            nails     | yard  | 2026-06-02 | 1000     |           | 1          |
        """,
    )

    assert_drawn(
        counted,
        """
        material  | counted_on | quantity | lots_quantity | lots_sealed_quantity
        ----------+------------+----------+---------------+---------------------
        drip trim | 2026-03-31 | 19.2     | 18            | 18
        board     | 2026-03-31 | 0.84     | 0             | 0
        nails     | 2026-03-31 | 3500     | 3500          | 3000
        """,
    )
