"""A firm's folder worked out the ordinary way as far as a test asks, without pages."""

from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

import polars as pl

from pipelines.month.folder import open_folder
from pipelines.month.graph import Stage, order_run
from pipelines.month.receipts import read_receipts
from pipelines.month.stages import list_stages
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.register import list_receipts, take_in
from pipelines.settings import read_settings
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.relations import make_relation, relation_reads
from pipelines.warehouse.tables import append, create_tables, fetch
from schemas.records import RECORDS


def work_out(root: Path, wanted: Iterable[str]) -> dict[str, pl.DataFrame]:
    """Receive, judge and work out the firm in `root`; return the `wanted` relations by name."""
    folder = open_folder(root)
    settings = read_settings(folder.settings_file)
    mappings = load_mappings(folder.mappings, RECORDS)
    take_in(folder.inbox, folder.received, datetime(2026, 6, 1, tzinfo=UTC))
    receipts = list_receipts(folder.received)
    read = read_receipts(receipts, mappings, lambda *_: None)
    assert settings.as_of is not None
    stages = list_stages(settings, settings.as_of, read)
    names = tuple(wanted)
    with open_in_memory() as connection:
        create_tables(connection)
        for step in order_run(stages, relation_reads(), names):
            if isinstance(step, Stage):
                made = step.work({name: fetch(connection, name) for name in step.reads})
                for relation, frame in made.items():
                    append(connection, relation, frame)
            else:
                make_relation(connection, step)
        return {name: fetch(connection, name) for name in names}
