from tests.support.drawn import assert_drawn


def test_a_note_stands_once_with_its_files(relation):
    notes = relation(
        "page.file_note",
        file="""
            receipt_no | file_name
            -----------+----------
            1          | may.xml
            2          | june.xml
        """,
        note="""
            receipt_no | file_note
            -----------+--------------------
            1          | a price is left blank
            2          | a price is left blank
            1          | it corrects 4711
        """,
    )

    assert_drawn(
        notes,
        """
        file_note             | file_name | file_count
        ----------------------+-----------+-----------
        a price is left blank | june.xml  | 2
        it corrects 4711      | may.xml   | 1
        """,
    )
