from tests.support.drawn import assert_drawn

MATERIALS = """
    material | pack_size
    ---------+----------
    resin    | 20
    topcoat  | 10
    drip     | 3
"""


def whole(relation, *lines):
    numbers = range(1, len(lines) + 1)
    rows = "\n".join(f"2025-{at:03} | {line}" for at, line in zip(numbers, lines, strict=True))
    jobs = "\n".join(f"2025-{at:03} | completed" for at in numbers)
    return relation(
        "learn.whole_pack_line",
        jobs=f"""job_ref  | status
        ---------+----------
        {jobs}""",
        materials=MATERIALS,
        job_quantity=f"""job_ref  | material | kind    | how | used_quantity
        ---------+----------+---------+-----+--------------
        {rows}""",
    )


def test_lines_that_say_so_and_no_whole_pieces(relation):
    lines = whole(
        relation,
        "resin | resin | whole packs | 40",
        "resin | resin | weighed | 40",
        "drip | trim | whole packs | 9",
        "resin | resin | whole packs | 0",
    )

    assert_drawn(
        lines,
        """
        job_ref  | material | pack_quantity
        ---------+----------+--------------
        2025-001 | resin    | 20
        """,
    )


def test_lines_that_are_whole_packs_eight_times_in_ten(relation):
    packs = ["topcoat | topcoat | | 10"] * 8

    found = whole(relation, *packs, "topcoat | topcoat | judged | 7", "topcoat | topcoat | | 12.5")
    assert found.height == 8
    # one line more that is none, and it is not eight in ten
    few = whole(relation, *packs, *["topcoat | topcoat | judged | 7"] * 3)
    assert few.is_empty()
    # lines that were weighed say nothing of the others
    weighed = whole(relation, *packs, *["topcoat | topcoat | weighed | 10"] * 3)
    assert weighed.height == 8
    assert whole(relation, *packs[:7]).is_empty()
