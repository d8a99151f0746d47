"""What a file without a mapping shows of itself, and a draft of its mapping."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import get_args

from pipelines.checking.dates import orders_shown, read_day
from pipelines.errors import FolderError
from pipelines.month.folder import open_folder
from pipelines.receiving.drafts import Evidence, draft_mapping, guess_columns
from pipelines.receiving.handed_over import Unreadable
from pipelines.receiving.looking import SeenColumn, SeenSheet, look_at
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.mappings import fit_mapping
from pipelines.receiving.written_figures import Mark, plain_figures
from schemas.records import RECORDS

_FIGURE = re.compile(r"[-+£ ]*[\d.,]*\d")
_NEXT_STEP = (
    "No mapping fits this file. For a draft of one to finish, add --draft with its place, as "
    "--draft settings/mappings/their-name.toml"
)
_SAMPLES = 3
_LONGEST_SAMPLE = 30
_ORDERS = {"dmy": "day first", "mdy": "month first"}


def describe_file(path: Path, name: str) -> tuple[str, ...]:
    """Return in lines what the file seems to hold; nothing where it can't be looked into."""
    sheets = _look(path, name)
    if not sheets:
        return ()
    told = [line for sheet in sheets for line in _describe(sheet)]
    return (*told, _tell_evidence(_weigh(sheets)), _NEXT_STEP)


def write_draft(path: Path, root: Path, draft: Path) -> None:
    """
    Write a draft of a mapping for the file at `path` to `draft`; the firm's folder is `root`.

    Raises FolderError where something stands there, where the file can't be looked into, or where
    a mapping of the firm fits it already.
    """
    if not path.is_file():
        raise FolderError(f"{path}: there is no such file")
    known = fit_mapping(path.name, load_mappings(open_folder(root).mappings, RECORDS))
    if known is not None:
        raise FolderError(f'{path}: the mapping "{known.name}" fits this file already')
    sheets = _look(path, path.name)
    if not sheets:
        raise FolderError(f"{path}: no rows can be seen in this file, so there is none to map")
    text = draft_mapping(path.name, sheets, _weigh(sheets))
    try:
        with draft.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        raise FolderError(f"{draft}: a file stands there already; name another") from None
    except OSError as error:
        raise FolderError(f"{draft}: can't be written: {error.strerror}") from error


def _look(path: Path, name: str) -> tuple[SeenSheet, ...]:
    try:
        return look_at(path, name)
    except Unreadable:
        return ()


def _describe(sheet: SeenSheet) -> Iterator[str]:
    where = f'sheet "{sheet.name}": ' if sheet.name else ""
    if not sheet.heading_row_no:
        yield f"{where}{sheet.row_count} rows, no heading; it may be a form, with the labels"
        yield "  " + (", ".join(f'"{label}"' for label in sheet.labels) or "none that is plain")
        return
    yield f"{where}{sheet.row_count} rows, the heading perhaps in row {sheet.heading_row_no}"
    guesses = guess_columns([column.heading for column in sheet.columns])
    for column in sheet.columns:
        yield _tell_column(column, guesses.get(column.heading))


def _tell_column(column: SeenColumn, guess: str | None) -> str:
    samples = [cell[:_LONGEST_SAMPLE] for cell in dict.fromkeys(column.cells)][:_SAMPLES]
    shown = " | ".join(samples) or "all blank"
    may_be = f", perhaps {guess}" if guess else ""
    return f'  "{column.heading}"{may_be}: {len(column.cells)} filled, {shown}'


def _weigh(sheets: Sequence[SeenSheet]) -> Evidence:
    cells = [cell for sheet in sheets for column in sheet.columns for cell in column.cells]
    orders = orders_shown(cells)
    figures = [cell for cell in cells if _FIGURE.fullmatch(cell) and not _is_day(cell)]
    fitting = [mark for mark in get_args(Mark) if _are_plain(figures, mark)]
    mark = fitting[0] if len(fitting) == 1 else None
    return Evidence(next(iter(orders)) if len(orders) == 1 else None, mark)


def _are_plain(figures: Sequence[str], mark: Mark) -> bool:
    return all(plain_figures(figure, mark, typed=False) is not None for figure in figures)


def _is_day(cell: str) -> bool:
    return any(read_day(cell, order).value for order in _ORDERS)


def _tell_evidence(evidence: Evidence) -> str:
    order = _ORDERS.get(evidence.date_order or "", "not proven by the file")
    mark = {",": "comma", ".": "point"}.get(evidence.decimal_mark or "", "not proven by the file")
    return f"order of day and month: {order}; decimal mark: {mark}"
