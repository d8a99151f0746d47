"""An empty firm's folder, and the way from it to the first pages."""

import json

from openpyxl import load_workbook

from pipelines.cli import main
from schemas.records import RECORDS


def test_new_makes_a_folder_that_runs(tmp_path, capsys):
    root = tmp_path / "our firm"

    code = main(["new", str(root), "--firm", 'Ladder & "Sons"'])
    said = capsys.readouterr().out

    assert code == 0
    assert "inbox" in said
    assert (root / "pages" / "start.html").is_file()
    assert "Ladder &amp; &quot;Sons&quot;" in (root / "pages" / "start.html").read_text("utf-8")
    assert {file.stem for file in (root / "blank workbooks").iterdir()} >= {"materials", "jobs"}
    assert main(["run", "--folder", str(root)]) == 4


def test_new_touches_no_folder_that_holds_something(tmp_path, capsys):
    (tmp_path / "letter.txt").write_text("dear", encoding="utf-8")

    code = main(["new", str(tmp_path)])

    assert code == 13
    assert "not empty" in capsys.readouterr().err
    assert [file.name for file in tmp_path.iterdir()] == ["letter.txt"]


def test_a_blank_workbook_filled_in_is_taken_in(tmp_path, capsys):
    root = tmp_path / "firm"
    main(["new", str(root)])
    capsys.readouterr()
    book = load_workbook(root / "blank workbooks" / "materials.xlsx")
    sheet = book["materials"]
    heads = [cell.value for cell in next(sheet.iter_rows(min_row=2, max_row=2))]
    row = {"material": "resin", "kind": "resin", "unit": "kg", "pack_size": 20}
    first = next(at for at in range(3, 30) if sheet.cell(at, 1).value is None)
    for name, value in row.items():
        sheet.cell(first, heads.index(name) + 1, value)
    book.save(root / "inbox" / "materials.xlsx")

    code = main(["run", "--folder", str(root), "--json"])
    told = json.loads(capsys.readouterr().out)

    assert code == 0
    assert (told["accepted_count"], told["rejected_count"]) == (1, 0)


def test_every_record_has_a_blank_workbook(tmp_path):
    root = tmp_path / "firm"

    main(["new", str(root)])

    assert {file.stem for file in (root / "blank workbooks").glob("*.xlsx")} == {
        *RECORDS,
        "invoices to type in",
    }
    told = (root / "blank workbooks" / "what every column means.md").read_text("utf-8")
    assert all(record.says in told for record in RECORDS.values())
