"""Stock on a moving average, movement by movement."""

from datetime import date
from decimal import Decimal

import polars as pl

from pipelines.costing.moving_average import cost_on_average
from schemas.frames import shape_of
from tests.support.drawn import assert_drawn

MATERIALS = pl.DataFrame({"material": ["nails", "resin"], "costing": ["average", None]})


def _lots(*rows, how="bought"):
    names = ["material", "lot_no", "received_on", "quantity", "cost_pence"]
    return pl.DataFrame(rows, schema=names, orient="row").with_columns(how=pl.lit(how))


def _movements(*rows):
    names = ["material", "out_no", "out_on", "quantity", "moves_stock"]
    return pl.DataFrame(rows, schema=names, orient="row")


def test_each_movement_pays_what_the_pool_costs_then_and_the_last_clears_it():
    costed = cost_on_average(
        _lots(
            ("nails", 1, date(2026, 4, 1), Decimal(3), 100),
            ("nails", 2, date(2026, 4, 5), Decimal(1), 60),
            ("resin", 1, date(2026, 4, 1), Decimal(20), 6000),
        ),
        _movements(
            ("nails", 1, date(2026, 3, 1), Decimal(9), False),
            ("nails", 2, date(2026, 4, 1), Decimal(2), True),
            ("nails", 3, date(2026, 4, 5), Decimal("0.5"), True),
            ("nails", 4, date(2026, 4, 6), Decimal("1.5"), True),
            ("resin", 1, date(2026, 4, 6), Decimal(1), True),
        ),
        MATERIALS,
    )

    # 100 x 2/3 = 66.7; 33 + 60 = 93, a quarter of it 23.25; the rest to the last
    assert_drawn(
        costed["result.average_issue"],
        """
        material | out_no | quantity | cost_pence | is_early
        ---------+--------+----------+------------+---------
        nails    | 2      | 2        | 67         | false
        nails    | 3      | 0.5      | 23         | false
        nails    | 4      | 1.5      | 70         | false
        """,
    )
    assert costed["result.average_left"].rows() == [("nails", 0, 0)]


def test_a_lot_without_a_price_makes_costs_unknown_until_the_pool_is_empty():
    costed = cost_on_average(
        _lots(
            ("nails", 1, date(2026, 4, 1), Decimal(3), None),
            ("nails", 2, date(2026, 4, 5), Decimal(2), 60),
        ),
        _movements(
            ("nails", 1, date(2026, 4, 2), Decimal(3), True),
            ("nails", 2, date(2026, 4, 6), Decimal(1), True),
            ("nails", 3, date(2026, 4, 7), Decimal(4), True),
        ),
        MATERIALS,
    )

    assert_drawn(
        costed["result.average_issue"],
        """
        material | out_no | quantity | cost_pence
        ---------+--------+----------+-----------
        nails    | 1      | 3        |
        nails    | 2      | 1        | 30
        nails    | 3      | 1        | 30
        """,
    )


def test_what_a_count_found_moves_the_price_of_the_days_after_it():
    bought = _lots(("nails", 1, date(2026, 4, 1), Decimal(4), 100))
    found = _lots(("nails", 2, date(2026, 4, 30), Decimal(2), 80), how="found")
    costed = cost_on_average(
        pl.concat([bought, found]),
        _movements(
            ("nails", 1, date(2026, 4, 30), Decimal(2), True),
            ("nails", 2, date(2026, 5, 1), Decimal(1), True),
        ),
        MATERIALS,
    )

    # 2 of 4 for 100 on the day of the count; then 50 + 80 for 4, a quarter of it 32.5
    assert costed["result.average_issue"]["cost_pence"].to_list() == [50, 33]
    assert costed["result.average_left"].rows() == [("nails", 3, 97)]


def test_a_firm_without_such_stock_has_none():
    costed = cost_on_average(_lots(), _movements(), MATERIALS.with_columns(costing=None))

    assert {name: frame.schema for name, frame in costed.items()} == {
        name: shape_of(name) for name in ("result.average_issue", "result.average_left")
    }
