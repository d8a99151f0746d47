"""Views of the warehouse: read from sql/, put in order by what they read, and made."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files

from pipelines.errors import StoppedError
from pipelines.warehouse.connection import Connection, in_words, open_in_memory
from pipelines.warehouse.in_force import ledger_views
from pipelines.warehouse.selects import read_select

LEVELS = (
    ("receipt", "setting", "run"),
    ("history",),
    ("ledger",),
    ("usage",),
    ("feed",),
    ("learn", "result", "stock"),
    ("comparison", "margin"),
    ("page",),
    ("checks",),
)
"""Schemas from low to high. A view reads its own level and lower ones."""

_LEVEL_OF = {schema: level for level, schemas in enumerate(LEVELS) for schema in schemas}


@dataclass(frozen=True)
class View:
    """One view: its name with schema, its SELECT, the relations that the SELECT reads."""

    name: str
    select: str
    reads: frozenset[str]

    @property
    def schema(self) -> str:
        """Return the schema that the view stands in."""
        return self.name.split(".")[0]


@cache
def views() -> Mapping[str, View]:
    """
    Give every view by name, each after those that it reads.

    Raises:
        StoppedError: a text that is no plain SELECT, a read of a higher level, a cycle.

    """
    return arrange_views(ledger_views() | read_sql_files())


def relation_reads() -> dict[str, frozenset[str]]:
    """Give what each view reads, by view name."""
    return {name: view.reads for name, view in views().items()}


def make_relation(connection: Connection, name: str) -> None:
    """
    Make one relation over what it reads: a page's as a view, any other as a table of its rows.

    Views over views over views are worked out again at each use, and a page reads a dozen levels
    of them: seconds for each. Once all that a relation reads is written, its rows no longer
    change, and a table of them says the same.

    Raises:
        StoppedError: the SELECT fails, or what it reads is not there.

    """
    view = views()[name]
    kind = "VIEW" if view.schema == "page" else "TABLE"
    with in_words(f"working out {name}"):
        connection.execute(f"CREATE SCHEMA IF NOT EXISTS {view.schema}")
        connection.execute(f"CREATE {kind} {name} AS {view.select}")


def arrange_views(selects: Mapping[str, str]) -> dict[str, View]:
    """
    Parse SELECTs and put them in an order in which each finds what it reads.

    Args:
        selects: SELECT by relation name.

    Raises:
        StoppedError: as `views`.

    """
    with open_in_memory() as parser:
        found = {
            name: View(name, text, read_select(parser, name, text))
            for name, text in sorted(selects.items())
        }
    for view in found.values():
        _refuse_higher_level(view)
    graph = {name: sorted(view.reads & found.keys()) for name, view in found.items()}
    try:
        return {name: found[name] for name in TopologicalSorter(graph).static_order()}
    except CycleError as error:
        path = " < ".join(error.args[1])
        raise StoppedError(f"relations read each other in a circle: {path}") from error


def read_sql_files() -> dict[str, str]:
    """Give the text of every sql/<schema>/<relation>.sql but the checks, by relation name."""
    return {
        f"{folder.name}.{file.name.removesuffix('.sql')}": file.read_text(encoding="utf-8")
        for folder in files("sql").iterdir()
        if folder.is_dir() and folder.name != "checks"
        for file in folder.iterdir()
        if file.name.endswith(".sql")
    }


def _refuse_higher_level(view: View) -> None:
    for read in sorted(view.reads):
        schema = read.split(".")[0]
        if schema not in _LEVEL_OF:
            raise StoppedError(f"{view.name}: {read} stands in no schema of the warehouse")
        if _LEVEL_OF[schema] > _level_of(view):
            raise StoppedError(f"{view.name} reads {read}, which stands on a higher level")


def _level_of(view: View) -> int:
    if view.schema not in _LEVEL_OF:
        raise StoppedError(f"{view.name}: {view.schema} is no schema of the warehouse")
    return _LEVEL_OF[view.schema]
