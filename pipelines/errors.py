"""Faults that a person can put right. Each has its own exit code and never a traceback."""


class RoofyieldError(Exception):
    """A message of one line: what is wrong, where, what is allowed, what to do."""

    exit_code = 10


class SettingsError(RoofyieldError):
    """An unknown or unreadable setting."""

    exit_code = 11


class MappingError(RoofyieldError):
    """A mapping that does not say what it must."""

    exit_code = 12


class FolderError(RoofyieldError):
    """The folder is not a firm's folder, or cannot be used."""

    exit_code = 13


class BusyError(RoofyieldError):
    """Another run is at work in the folder."""

    exit_code = 14


class StoppedError(RoofyieldError):
    """A check that stops a run has found a fault in the figures."""

    exit_code = 15


class QuantityError(RoofyieldError):
    """A quantity or unit that cannot be converted, or a figure outside what can be worked out."""

    exit_code = 16


class DecisionError(RoofyieldError):
    """A decision that cannot be taken as it is typed."""

    exit_code = 17


class RoofError(RoofyieldError):
    """A roof to be estimated that cannot be read, or of which something is not known."""

    exit_code = 18


class UnknownNameError(RoofyieldError):
    """A question about a job or a material that no record names."""

    exit_code = 4


FILES_NOT_READ = 3
"""Exit code of a run that took in what it could, while some files could not be read."""

FILE_OF_ANOTHER_KIND = 6
"""The same, where a file was of a kind that is not read: a picture, a program, a letter."""

COLUMN_MISSING = 7
"""The same, where a column was missing."""

NOTHING_TO_SHOW = 4
"""Exit code of a question whose answer needs records that the firm has not handed in."""

CONTRADICTED = 5
"""Exit code of a run in which two files contradict each other; neither row was taken in."""
