from tests.support.drawn import assert_drawn


def test_papers_are_tied_by_their_names_and_gone_once_typed_in(relation):
    papers = relation(
        "page.to_type_in",
        file="""
            receipt_no | file_name                     | outcome           | message | batch_at
            -----------+-------------------------------+-------------------+---------+--------------------
            1          | roof 2026-014 north.jpg       | to type in        | a photo | 2026-05-04 10:00:00
            2          | Mossgate_Supplies-0444.pdf    | to type in        | a scan  | 2026-05-04 10:00:00
            3          | tarn 2026-0145.pdf            | to type in        | a scan  | 2026-05-04 10:00:00
            4          | IMG_0001.heic                 | to type in        | a photo | 2026-05-05 10:00:00
            5          | mossgate 4711 for 2026-014.png | to type in       | a scan  | 2026-05-05 10:00:00
            6          | peat 77.png                   | to type in        | a scan  | 2026-05-05 10:00:00
            7          | letter 2026-014.docx          | could not be read | a file  | 2026-05-05 10:00:00
            8          | tarn of the valley 4711.png   | to type in        | a scan  | 2026-05-05 10:00:00
        """,
        jobs="""
            job_ref
            --------
            2026-014
            2026-015
        """,
        purchases="""
            supplier          | document_no
            ------------------+------------
            Mossgate Supplies | 4711
            Peat & Moor       | 12
            Peat Brothers     | 13
        """,
        suppliers="""
            supplier
            -----------------
            Tarn of the Valley
        """,
    )

    # 5 is typed in: its number is held of Mossgate; 8 is not: 4711 is no paper of Tarn's
    assert_drawn(
        papers,
        """
        file_name                   | received_on | tied_to                | message
        ----------------------------+-------------+------------------------+--------
        roof 2026-014 north.jpg     | 2026-05-04  | 2026-014               | a photo
        Mossgate_Supplies-0444.pdf  | 2026-05-04  | Mossgate Supplies      | a scan
        tarn 2026-0145.pdf          | 2026-05-04  | Tarn of the Valley     | a scan
        IMG_0001.heic               | 2026-05-05  |                        | a photo
        peat 77.png                 | 2026-05-05  |                        | a scan
        tarn of the valley 4711.png | 2026-05-05  | Tarn of the Valley     | a scan
        """,
    )
    assert papers["file_name"][0] == "tarn of the valley 4711.png"


def test_a_job_and_a_supplier_together(relation):
    papers = relation(
        "page.to_type_in",
        file="""
            receipt_no | file_name                 | outcome    | message | batch_at
            -----------+---------------------------+------------+---------+--------------------
            1          | tarn for job 2026-014.png | to type in | a scan  | 2026-05-04 10:00:00
        """,
        jobs="""
            job_ref
            --------
            2026-014
        """,
        suppliers="""
            supplier
            --------
            Tarn
        """,
    )

    assert papers["tied_to"].to_list() == ["2026-014, Tarn"]
