"""One graph of stages and views: what each reads and writes, and so the order of a run."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

import polars as pl

from pipelines.errors import StoppedError

Frames = Mapping[str, pl.DataFrame]


@dataclass(frozen=True)
class Stage:
    """
    One Python step of a run.

    `work` gets the frames of `reads` by relation name and returns those of `writes`. `says` is
    what a person sees while it works.
    """

    name: str
    says: str
    reads: tuple[str, ...]
    writes: tuple[str, ...]
    work: Callable[[Frames], Frames]


def order_run(
    stages: Iterable[Stage],
    view_reads: Mapping[str, Iterable[str]],
    wanted: Iterable[str] | None = None,
) -> list[Stage | str]:
    """
    Return stages, and views by name, so that each comes after all that it reads.

    Only those that the `wanted` relations rest on; all where none are named.

    Raises StoppedError, naming the path, where they read each other in a circle, and where one
    relation is made twice.
    """
    by_name = {f"stage {stage.name}": stage for stage in stages}
    graph: dict[str, set[str]] = {view: set(reads) for view, reads in view_reads.items()}
    for name, stage in by_name.items():
        graph.setdefault(name, set()).update(stage.reads)
        for relation in stage.writes:
            if graph.get(relation):
                raise StoppedError(f"{relation} is made twice, the second time by {name}")
            graph[relation] = {name}
    if wanted is not None:
        graph = _keep_needed(graph, wanted)
    try:
        ordered = list(TopologicalSorter(_sorted(graph)).static_order())
    except CycleError as error:
        path = " < ".join(error.args[1])
        raise StoppedError(f"stages and views read each other in a circle: {path}") from error
    steps = [by_name.get(name, name) for name in ordered]
    return [step for step in steps if isinstance(step, Stage) or step in view_reads]


def _keep_needed(graph: Mapping[str, set[str]], wanted: Iterable[str]) -> dict[str, set[str]]:
    kept: dict[str, set[str]] = {}
    waiting = list(wanted)
    while waiting:
        name = waiting.pop()
        if name not in kept:
            kept[name] = graph.get(name, set())
            waiting.extend(kept[name])
    return kept


def _sorted(graph: Mapping[str, set[str]]) -> dict[str, list[str]]:
    return {name: sorted(graph[name]) for name in sorted(graph)}
