"""The first page: what came in, where the firm stands, where to read on."""

from collections.abc import Iterator

import polars as pl

from reports import buyer, drift, estimator, first_look, owner, rows_gone, theme, to_mend, words
from reports import firm as firms
from reports.charts import Axis
from reports.firm import Firm
from reports.page import Action, Ask, Drawing, Figure, Frames, Page, Section, Table
from reports.rows import RowChart

_OWN = (
    *firms.READS, "page.received", "page.file_note", *to_mend.READS, "page.coverage",
    "page.next_record", *first_look.READS, *rows_gone.READS, *drift.READS,
)  # fmt: skip
READS: tuple[str, ...] = tuple(
    dict.fromkeys((*_OWN, *owner.HEAD_READS, *estimator.HEAD_READS, *buyer.HEAD_READS))
)

_STAYS_HERE = "Nothing leaves this folder, and no page needs the internet."
_MOST_NOTES = 8
_COUNTS = (
    "rows_read_count", "accepted_count", "repaired_count", "held_back_count", "rejected_count",
    "already_held_count", "skipped_count",
)  # fmt: skip


def build(frames: Frames) -> Page:
    """Return the page; `frames` hold every relation of `READS`."""
    firm = firms.read_firm(frames)
    asks = _asks(frames)
    sections = (
        _received_section(frames),
        *to_mend.make_mend_sections(frames),
        _coverage_section(frames, firm),
        first_look.make_first_look_section(frames),
        *rows_gone.make_sections(frames),
        _read_on_section(frames),
    )
    beside = (words.weekday(firm.as_of), str(firm.as_of.year))
    return Page(
        "start", firm.title, beside, _head(frames, asks), _open(frames), asks, sections,
        (*firms.read_trust(frames), (True, _STAYS_HERE)),
    )  # fmt: skip


def _head(frames: Frames, asks: tuple[Ask, ...]) -> str:
    if frames["page.received"].is_empty():
        return "Drop the first files into the inbox"
    if not asks:
        return "Nothing to mend"
    return f"{words.start_upper(words.counted_in_words(len(asks), 'thing'))} to do now"


def _open(frames: Frames) -> str:
    if not frames["page.received"].is_empty():
        return ""
    return (
        "Invoices are enough to begin with; the folder holds a blank workbook for every record. "
        "Then run again."
    )


def _asks(frames: Frames) -> tuple[Ask, ...]:
    asks = []
    files, rows = frames["page.unreadable_file"].height, frames["page.reject"].height
    papers = frames["page.to_type_in"].height
    if papers:
        text = words.counted_in_words(papers, "paper")
        asks.append(Ask(f"Type in {text} that no program reads.", ("The papers", "#q2")))
    if files:
        text = words.counted_in_words(files, "file")
        asks.append(Ask(f"Look at {text} that could not be read.", ("The files", "#q2")))
    unknown = frames["page.unknown_description"].height
    if unknown:
        text = words.counted_in_words(unknown, "description")
        asks.append(Ask(f"Name {text} that nobody knows yet.", ("The wordings", "#q2")))
    if rows:
        text = words.counted_in_words(rows, "row")
        asks.append(Ask(f"Mend {text} that could not be read.", ("The rows", "#q2")))
    stand = 3 if files or rows or papers else 2
    gone = ("Those rows", f"#q{stand + 2}")
    new = frames["page.row_gone"].filter("is_new")
    asks.extend(Ask(sentence, gone) for sentence in rows_gone.ask_gone(new))
    place = ("Where you stand", f"#q{stand}")
    said = frames["page.next_record"]["sentence"].head(1).to_list()
    return (*asks, *drift.list_asks(frames), *(Ask(sentence, place) for sentence in said))


def _received_section(frames: Frames) -> Section:
    frame = frames["page.received"]
    question = "What came in?"
    if frame.is_empty():
        return Section(question, "Nothing has come in yet.")
    sums = {name: int(frame[name].sum()) for name in (*_COUNTS, "file_count")}
    finding = (
        f"{words.start_upper(words.counted_in_words(sums['file_count'], 'file'))} came in: "
        f"{words.counted(sums['accepted_count'], 'row')} were taken in, "
        f"{_none_or(sums['rejected_count'])} could not be read, "
        f"{_none_or(sums['held_back_count'])} were set aside from learning."
    )
    note = (
        f"{sums['rows_read_count']:,} rows = {sums['accepted_count']:,} taken in + "
        f"{sums['rejected_count']:,} not read + {sums['already_held_count']:,} already here + "
        f"{sums['skipped_count']:,} skipped. Mended and set aside are part of taken in."
    )
    tables = (_list_received(frame), *_list_notes(frames["page.file_note"]))
    return Section(question, finding, None, (note,), tables)


def _list_notes(frame: pl.DataFrame) -> Iterator[Table]:
    if frame.is_empty():
        return
    rows = [
        (words.start_upper(row["file_note"]), f"{row['file_count']:,}", row["file_name"])
        for row in frame.head(_MOST_NOTES).iter_rows(named=True)
    ]
    more = frame.height - len(rows)
    caption = "To mind in files that were read" + (f"; {more:,} more not shown" if more else "")
    yield Table(caption, ("What", "Files", "Newest of them"), tuple(rows), frozenset({1}))


def _none_or(count: int) -> str:
    return "none" if count == 0 else f"{count:,}"


def _list_received(frame: pl.DataFrame) -> Table:
    rows = [
        (row["source"], f"{row['file_count']:,}", *(f"{row[name]:,}" for name in _COUNTS),
         "" if row["last_on"] is None else words.short_day(row["last_on"]))
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = (
        "Source", "Files", "Rows", "Taken in", "Mended", "Set aside", "Not read", "Already here",
        "Skipped", "Last",
    )  # fmt: skip
    return Table(
        "Files received so far", heads, tuple(rows), frozenset(range(1, 9)), is_counts=True
    )


def _coverage_section(frames: Frames, firm: Firm) -> Section:
    frame = frames["page.coverage"].sort("order_no", maintain_order=True)
    question = "Where do you stand?"
    said = frames["page.next_record"]["sentence"].head(1).to_list()
    action = Action("What would help most next", said[0]) if said else None
    if frame.is_empty() or not firm.lately_job_count:
        return Section(
            question,
            "No job was finished lately, so nothing can be compared yet. The jobs record, one row "
            "a job with its type and day of finishing, opens the first answers.",
            action=action,
        )
    finding = _find_coverage(frame)
    figure = Figure(
        f"{finding} Jobs that have each record, out of all finished lately.",
        lambda canvas: _draw_coverage(frame, canvas),
        _list_coverage(frame),
    )
    note = (
        f"{words.counted(firm.lately_job_count, 'job')} finished, {firm.lately}. The whole line is "
        "all of them; thick: those with the record."
    )
    return Section(question, finding, figure, (note,), action=action)


def _find_coverage(frame: pl.DataFrame) -> str:
    complete = frame.filter(pl.col("with_record_count") == pl.col("job_count")).height
    least = frame.sort("with_record_count", maintain_order=True).row(0, named=True)
    if complete == frame.height:
        return "Every job finished lately has every record."
    return (
        f"{words.start_upper(words.number_in_words(complete))} of "
        f"{words.counted_in_words(frame.height, 'record')} {words.is_or_are(complete)} there for "
        f"every job; the thinnest is “{least['record_label']}”, "
        f"{least['with_record_count']} of {least['job_count']}."
    )


def _draw_coverage(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    most = max(1, *frame["job_count"].to_list())
    axis = Axis(0, most, (0.0, float(most)), ("0", f"{most}"), "Jobs finished lately")
    numbers = tuple(
        f"{row['with_record_count']} of {row['job_count']}" for row in frame.iter_rows(named=True)
    )
    columns = (numbers,) if canvas.is_narrow else (tuple(frame["answer"]), numbers)
    chart = RowChart(canvas, axis, tuple(frame["record_label"]), columns)
    placed = chart.place(frame.with_columns(nothing=0))
    return chart.finish(
        [
            chart.spans(placed, "nothing", "job_count"),
            chart.ticks(placed, "job_count", colour=theme.LINE),
            chart.spans(placed, "nothing", "with_record_count", width=6, colour=theme.BLUE),
        ]
    )


def _list_coverage(frame: pl.DataFrame) -> Table:
    rows = [
        (row["record_label"], f"{row['with_record_count']} of {row['job_count']}", row["answer"])
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Record", "Jobs that have it", "What it lets you know")
    return Table("Records of the jobs finished lately", heads, tuple(rows), frozenset({1}))


def _read_on_section(frames: Frames) -> Section:
    told = {
        "Owner": owner.head(frames),
        "Estimator": estimator.head(frames),
        "Buyer": buyer.head(frames),
    }
    links = {name: f"{name.lower()}.html" for name in told}
    table = Table("Pages", ("Page", "What it says today"), tuple(told.items()), links=links)
    return Section("Where to read on", "Each page takes about five minutes.", tables=(table,))
