"""What waits for a person: files and rows not read, wordings to name, papers to type in."""

import polars as pl

from reports import words
from reports.page import Action, Frames, Section, Table

READS = (
    "page.unreadable_file", "page.to_type_in", "page.reject", "page.unknown_description",
)  # fmt: skip

_MOST_REJECTS = 12
_MOST_WORDINGS = 12
_NAMED_IN = (
    "Name them once in the newest workbook “descriptions to name” in rejects/, save it, and drop "
    "it into the inbox: every line with that wording, held or still to come, follows."
)
_MEND = Action(
    "Mend them in the workbook",
    "The newest workbook in rejects/ holds each row as it came, with the reason beside it. "
    "Mend it there, save, and drop it into the inbox.",
)
_TYPE_IN = Action(
    "Type them into the workbook",
    "The workbook of invoices to type in, among the blank ones, adds up as you type and says "
    "where an invoice does not come to its total. Save it, and drop it into the inbox.",
)


def make_mend_sections(frames: Frames) -> tuple[Section, ...]:
    """Return the section of files, papers and rows that wait for a person; none where none do."""
    files, rejects = frames["page.unreadable_file"], frames["page.reject"]
    papers = frames["page.to_type_in"]
    if files.is_empty() and rejects.is_empty() and papers.is_empty():
        return ()
    tables = []
    if files.height:
        told = tuple(files.select("file_name", "message").iter_rows())
        tables.append(Table("Files that could not be read", ("File", "What to do"), told))
    if papers.height:
        tables.append(_list_papers(papers))
    unknown = frames["page.unknown_description"]
    if unknown.height:
        tables.append(_list_wordings(unknown))
    if rejects.height:
        tables.append(_list_rejects(rejects))
    section = Section(
        "What needs mending?", _find_mending(frames), None,
        (_NAMED_IN,) if unknown.height else (), tuple(tables),
        _MEND if rejects.height or files.height else _TYPE_IN, is_wide=True,
    )  # fmt: skip
    return (section,)


def _find_mending(frames: Frames) -> str:
    parts = [
        words.counted_in_words(frames[name].height, thing)
        for name, thing in (("page.unreadable_file", "file"), ("page.reject", "row"))
        if frames[name].height
    ]
    papers = frames["page.to_type_in"].height
    typed = f"{words.start_upper(words.counted_in_words(papers, 'paper'))} to type in."
    if not parts:
        return f"{typed} Each is kept as it came."
    finding = (
        f"{words.start_upper(words.listed(parts))} could not be read; nothing of them is lost."
    )
    return f"{finding} {typed}" if papers else finding


def _list_papers(frame: pl.DataFrame) -> Table:
    rows = [
        (row["file_name"], words.short_day(row["received_on"]), row["tied_to"] or "not known",
         row["message"])
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("File", "Came in", "Belongs to, by its name", "What to do")
    return Table("Papers to type in", heads, tuple(rows))


def _list_wordings(frame: pl.DataFrame) -> Table:
    rows = [
        (row["supplier"], row["description"], f"{row['line_count']:,}", f"£{row['net_gbp']:,.2f}",
         words.short_day(row["last_on"]) if row["last_on"] else "")
        for row in frame.head(_MOST_WORDINGS).iter_rows(named=True)
    ]  # fmt: skip
    more = frame.height - len(rows)
    caption = "Descriptions that nobody has named yet, dearest first"
    heads = ("Supplier", "Its wording", "Lines", "Before VAT", "Last seen")
    said = f"; {more:,} more in the workbook" if more else ""
    return Table(f"{caption}{said}", heads, tuple(rows), frozenset({2, 3}))


def _list_rejects(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["file_name"],
            f"{row['sheet']}, row {row['row_no']}" if row["sheet"] else f"row {row['row_no']}",
            row["column_name"] or "",
            row["value"] or "",
            row["reason"],
            row["remedy"],
        )
        for row in frame.head(_MOST_REJECTS).iter_rows(named=True)
    ]
    more = frame.height - len(rows)
    caption = "Rows that could not be read" + (f"; {more:,} more in the workbook" if more else "")
    heads = ("File", "Where", "Column", "Value", "Why", "What would mend it")
    return Table(caption, heads, tuple(rows))
