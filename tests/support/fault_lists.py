"""The lists that the faults' case files speak of: materials, jobs, a supplier's layout."""

MATERIALS = """
material,kind,unit,pack_size,stock_length_mm,lap_mm,g_per_m2,density_kg_per_l,corner_piece
resin,resin,kg,20,,,,,
slow resin,resin,kg,,,,,,
topcoat grey,topcoat,kg,10,,,,,
catalyst,catalyst,kg,1,,,,,
unweighed catalyst,catalyst,kg,1,,,,,
weighed catalyst,catalyst,kg,1,,,,1.15,
drip trim,trim,m,,3000,50,,,
gutter trim,trim,m,,3000,50,,,
wall trim,trim,m,,3000,50,,,
mat 450,mat,m2,75.556,,50,450,,
mat 600,mat,m2,56.667,,50,600,,
mat 300,mat,m2,113.333,,50,300,,
plain mat,mat,m2,,,50,,,
"""
JOBS = "job_ref,job_type,quoted_on,completed_on,measured_area_m2,lay_up\n" + "\n".join(
    f"2026-{no},garage,2026-04-01,2026-05-04,20,450 single" for no in range(100, 171)
)
MAPPING = """
name = "cliffgate"
kind = "table"
record = "purchases"
files = ["cliffgate*.csv"]
header = ["Ref", "Product", "Amount"]
[columns]
"Ref" = "document_no"
"Date" = "document_on"
"Product" = "description"
"Qty" = "packs"
"Each" = "pack_price_gbp"
"Amount" = "line_net_gbp"
[constants]
supplier = "Cliffgate Stores"
[totals]
where = { "Product" = "total*" }
sums = ["Amount"]
[descriptions."Laminating resin 20kg"]
material = "resin"
[descriptions."Mat 450 roll"]
material = "mat 450"
[descriptions."Delivery by our lorry"]
line_kind = "carriage"
"""
