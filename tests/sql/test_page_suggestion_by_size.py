from tests.support.drawn import assert_drawn


def test_rate_by_size_with_the_part_of_every_job(relation):
    sizes = relation(
        "page.suggestion_by_size",
        suggestion="""
            material | job_type | base_unit | suggested_fixed_loss | charge_rate | load_rate | is_offered
            ---------+----------+-----------+----------------------+-------------+-----------+-----------
            resin    | dormer   | kg        | 1.6                  | 1.5         | 1.7       | true
            drip     | dormer   | m         | 0.5                  | 10.4        | 11.0      | true
            nails    | dormer   | each      | 3                    |             |           | true
            topcoat  | dormer   | kg        | 0.5                  | 0.6         | 0.7       | false
        """,
        allowance="""
            material | job_type | rate_label          | allowed_rate
            ---------+----------+---------------------+-------------
            resin    | dormer   | kg per m²           | 1.5
            drip     | dormer   | m per 10 m needed   |
            nails    | dormer   |                     |
            topcoat  | dormer   | kg per m²           | 0.6
        """,
    )

    # resin on 20 m²: 1.5 x 20 as allowed; 1.6 + 1.5 x 20 and 1.6 + 1.7 x 20 as suggested
    # drip for 20 m: 0.5 + 10.4 x 2 and 0.5 + 11.0 x 2
    assert_drawn(
        sizes,
        """
        material | size | size_label | allowed_quantity | charged_quantity | loaded_quantity
        ---------+------+------------+------------------+------------------+----------------
        resin    | 5    | m²         | 7.5              | 9.1              | 10.1
        resin    | 10   | m²         | 15.0             | 16.6             | 18.6
        resin    | 20   | m²         | 30.0             | 31.6             | 35.6
        resin    | 40   | m²         | 60.0             | 61.6             | 69.6
        drip     | 5    | m needed   |                  | 5.7              | 6.0
        drip     | 10   | m needed   |                  | 10.9             | 11.5
        drip     | 20   | m needed   |                  | 21.3             | 22.5
        drip     | 40   | m needed   |                  | 42.1             | 44.5
        """,
    )
