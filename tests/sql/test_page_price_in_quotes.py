def test_pack_is_named_in_its_unit(relation):
    quoted = relation(
        "page.price_in_quotes",
        price_in_quotes="""
            material | base_unit | pack_size | lately_gap_gbp
            ---------+-----------+-----------+---------------
            resin    | kg        | 20.000    | 25.00
            mat      | m2        | 75.560    | 30.00
            nails    | each      | 1000.000  |
        """,
    )

    assert quoted["material"].to_list() == ["mat", "resin", "nails"]
    assert quoted["pack_label"].to_list() == ["75.56 m²", "20 kg", "1000 each"]
