"""The commands: parse, call one function, print what it came to, return an exit code."""

from pipelines.cli.main import main

__all__ = ["main"]
