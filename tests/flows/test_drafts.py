"""A file that no mapping fits: shown by check, drafted, finished, taken in."""

from pipelines.cli.main import main
from pipelines.month.run import run_month
from tests.support.small_firm import make_firm

LINES = """Yard of the valley
Invoice no;Date;Item;Qty;Amount;Weight
81;23.05.2026;Amber tin;2;1.200,00;44
81;24.05.2026;Carriage;;9,50;
"""
FINISHED = """[constants]
supplier = "Yard of the valley"
[descriptions."Amber tin"]
material = "resin"
[[kinds]]
like = "carriage*"
line_kind = "carriage"
"""


def test_check_shows_drafts_and_the_finished_mapping_books(tmp_path, capsys, ask):
    root = make_firm(tmp_path / "firm", {})
    file = tmp_path / "yard lines.csv"
    file.write_text(LINES)
    draft = root / "settings" / "mappings" / "yard.toml"
    command = ["check", str(file), "--folder", str(root)]

    assert main(command) == 3
    said = " ".join(capsys.readouterr().out.split())
    assert "4 rows, the heading perhaps in row 2" in said
    assert '"Amount", perhaps line_net_gbp: 2 filled, 1.200,00 | 9,50' in said
    assert "order of day and month: day first; decimal mark: comma" in said
    assert not draft.exists()

    assert main([*command, "--draft", str(draft)]) == 0
    assert main(command) == 0
    assert "2 could not be read" in " ".join(capsys.readouterr().out.split())

    text = draft.read_text()
    draft.write_text(text[: text.index("[constants]")] + FINISHED)
    (root / "inbox" / file.name).write_text(LINES)
    summary = run_month(root)
    assert (summary.rejected_count, summary.wordings) == (0, None)
    lines = "SELECT description, line_net_gbp::VARCHAR, line_kind FROM ledger.purchases ORDER BY 1"
    assert ask(root, lines) == [
        ("Amber tin", "1200.00", "goods"),
        ("Carriage", "9.50", "carriage"),
    ]


def test_a_draft_is_never_written_over_another_file(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {})
    file = tmp_path / "yard lines.csv"
    file.write_text(LINES)
    draft = tmp_path / "mine.toml"
    draft.write_text("mine")
    command = ["check", str(file), "--folder", str(root), "--draft"]

    assert main([*command, str(draft)]) == 13
    assert "a file stands there already" in capsys.readouterr().err
    assert draft.read_text() == "mine"
    assert main([*command, str(tmp_path / "nowhere" / "a.toml")]) == 13
    assert "can't be written" in capsys.readouterr().err

    assert main([*command, str(root / "settings" / "mappings" / "yard.toml")]) == 0
    assert main([*command, str(tmp_path / "another.toml")]) == 13
    assert "fits this file already" in capsys.readouterr().err
