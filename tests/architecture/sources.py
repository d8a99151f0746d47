"""The project's own source files, parsed."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGES = ("pipelines", "schemas", "reports", "sql")
PURE = ("costing", "calibration", "allowances", "cutting", "estimating")


def python_files(*folders: str) -> list[Path]:
    """Return every Python file below the given folders of the project."""
    return sorted(file for folder in folders for file in (ROOT / folder).rglob("*.py"))


def parse(file: Path) -> ast.Module:
    """Return the syntax tree of a file."""
    return ast.parse(file.read_text(encoding="utf-8"))


def names_used(tree: ast.AST) -> Iterator[str]:
    """Yield every name and attribute that a tree uses, its own definitions left out."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
