"""A warehouse worked out: every stage and view in the order that their graph gives."""

from collections.abc import Collection, Iterable

from pipelines.month.graph import Frames, Stage, order_run
from pipelines.month.progress import Progress
from pipelines.warehouse.connection import Connection
from pipelines.warehouse.relations import make_relation, relation_reads
from pipelines.warehouse.tables import append, create_tables, fetch


def work_out(
    connection: Connection,
    stages: Iterable[Stage],
    progress: Progress,
    wanted: Collection[str] | None = None,
) -> None:
    """Fill an empty warehouse: all of it, or only what the `wanted` relations rest on."""
    create_tables(connection)
    for step in order_run(stages, relation_reads(), wanted):
        if isinstance(step, Stage):
            progress.stage(step.says)
            frames = {name: fetch(connection, name) for name in step.reads}
            _write(connection, step, step.work(frames))
        else:
            make_relation(connection, step)


def _write(connection: Connection, stage: Stage, frames: Frames) -> None:
    for relation, frame in frames.items():
        if relation not in stage.writes:
            raise KeyError(f"stage {stage.name} does not say that it writes {relation}")
        append(connection, relation, frame)
