"""Workbooks: every sheet as rows of text, hidden sheets and empty rows too."""

import re
from collections.abc import Sequence
from pathlib import Path

import fastexcel
import polars as pl

from pipelines.receiving.handed_over import RawRow, RawSheet, Unreadable, drop_tail, keep_filled

_ERROR_TEXT = {
    "Div0": "#DIV/0!",
    "NA": "#N/A",
    "Name": "#NAME?",
    "Null": "#NULL!",
    "Num": "#NUM!",
    "Ref": "#REF!",
    "Value": "#VALUE!",
    "GettingData": "#GETTING_DATA",
}
_ERROR_NAME = re.compile(r"Error\((\w+)\)")


def read_workbook(path: Path) -> list[RawSheet]:
    """
    Return the sheets of a workbook in their order.

    Dates come as ISO text, whole numbers without decimals, formula faults as the sheet shows them;
    of merged cells only the top-left holds the value. Raises Unreadable where the file is broken.
    """
    try:
        reader = fastexcel.read_excel(path)
        return [_read_sheet(reader, name) for name in reader.sheet_names]
    except BaseException as error:
        # a panic of the reader's own engine is no Exception, yet it must not stop other files
        if isinstance(error, KeyboardInterrupt | SystemExit | GeneratorExit):
            raise
        raise Unreadable(
            "the workbook is damaged", "open it, save it again as .xlsx and hand that in"
        ) from error


def _read_sheet(reader: fastexcel.ExcelReader, name: str) -> RawSheet:
    sheet = reader.load_sheet(name, header_row=None, skip_rows=0, dtypes="string")
    if not sheet.width:
        return RawSheet(name, [])
    batch, errors = sheet.to_arrow_with_errors()
    frame = pl.DataFrame(batch)
    columns = [column.to_list() for column in frame.iter_columns()]
    for error in errors.errors if errors else ():
        row, column = error.offset_position
        columns[column][row] = _name_error(error.detail)
    return RawSheet(name, drop_tail(_number_rows(columns)))


def _number_rows(columns: Sequence[Sequence[str | None]]) -> list[RawRow]:
    return [
        RawRow(row_no, keep_filled(cells))
        for row_no, cells in enumerate(zip(*columns, strict=True), start=1)
    ]


def _name_error(detail: str) -> str:
    found = _ERROR_NAME.search(detail)
    return _ERROR_TEXT.get(found[1], detail) if found else detail
