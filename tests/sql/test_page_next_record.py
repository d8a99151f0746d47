import pytest

FIRM = """
    finished_job_count | has_counts
    -------------------+-----------
    {jobs}             | {counts}
"""
BOUGHT = """
    line_kind
    ---------
    goods
"""
COVERAGE = """
    order_no | record_label          | with_record_count | job_count | answer
    ---------+-----------------------+-------------------+-----------+-----------
    1        | Jobs with a price     | {priced}          | 10        | what is left
    3        | Jobs with their edges | {edged}           | 10        | how far trim goes
"""


@pytest.mark.parametrize(
    ("firm", "bought", "priced", "begins"),
    [
        ((0, "false"), "", 9, "A list of finished jobs"),
        ((20, "false"), "", 0, "A year of invoices"),
        ((20, "false"), BOUGHT, 8, "Jobs with a price: 8 of 10 jobs"),
        ((20, "false"), BOUGHT, 9, "A count of six to eight materials"),
        ((20, "true"), BOUGHT, 9, "Jobs with their edges: 0 of 10 jobs"),
    ],
)
def test_the_ladder_from_a_list_of_jobs_upwards(relation, firm, bought, priced, begins):
    jobs, counts = firm
    missing = relation(
        "page.next_record",
        firm=FIRM.format(jobs=jobs, counts=counts),
        coverage=COVERAGE.format(priced=priced, edged=0),
        **({"purchases": bought} if bought else {}),
    )

    (sentence,) = missing["sentence"].to_list()
    assert sentence.startswith(begins)


def test_nothing_is_asked_where_nine_in_ten_bring_everything(relation):
    missing = relation(
        "page.next_record",
        firm=FIRM.format(jobs=20, counts="true"),
        coverage=COVERAGE.format(priced=9, edged=10),
        purchases=BOUGHT,
    )

    assert missing.is_empty()
