"""A received file as it was read."""

from dataclasses import dataclass

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.register import Receipt


@dataclass(frozen=True)
class ReadReceipt:
    """A receipt, the number of its batch, and what the reader found in it."""

    receipt: Receipt
    batch_no: int
    file: ReadFile
