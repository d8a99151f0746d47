"""Make the invented firm's files: `python -m sample_data.generate [folder]`."""

import argparse
from datetime import timedelta
from pathlib import Path
from random import Random

from sample_data.differences import plant_differences, write_differences
from sample_data.exports import map_exports, write_exports
from sample_data.faults import plant, write_planted
from sample_data.job_sheets import map_job_sheets, write_job_sheets
from sample_data.last_invoices import map_last, pick_last, write_last
from sample_data.papers import (
    write_counts,
    write_decisions,
    write_items,
    write_losses,
    write_orders,
    write_prices,
)
from sample_data.quotes import write_correction, write_extras, write_fitted, write_quotes
from sample_data.rules import write_settings
from sample_data.truth import write_truth
from sample_data.work import History, work_months

SEED = 4107
MONTHS = 24
HOME = Path(__file__).parent


def generate(folder: Path, seed: int = SEED, months: int = MONTHS) -> History:
    """
    Write `firm/inbox`, `firm/settings`, `firm/later` and `truth` under a folder.

    The files are well formed; the same seed and months give the same bytes.
    """
    history = work_months(seed, months)
    inbox = folder / "firm" / "inbox"
    write_items(inbox)
    write_prices(inbox)
    write_quotes(inbox, history)
    write_fitted(inbox, history)
    write_extras(inbox, history, Random(f"{seed} extras"))
    write_job_sheets(inbox, history)
    last = pick_last(history)
    write_exports(inbox, history, [document for each in last.values() for document in each])
    write_last(inbox, last)
    write_counts(inbox, history)
    write_orders(inbox, history)
    write_losses(inbox, history)
    write_decisions(inbox, history)
    write_correction(folder / "firm" / "later", history)
    _write_rules(folder / "firm" / "settings", history)
    write_truth(folder / "truth", history)
    return history


def _write_rules(folder: Path, history: History) -> None:
    mappings = folder / "mappings"
    mappings.mkdir(parents=True, exist_ok=True)
    as_of = history.counts[-1].counted_on + timedelta(1)
    _write_text(folder / "settings.toml", write_settings(as_of))
    _write_text(mappings / "job sheets.toml", map_job_sheets())
    for stem, text in (map_exports() | map_last()).items():
        _write_text(mappings / f"{stem}.toml", text)


def _write_text(path: Path, text: str) -> None:
    path.write_bytes(text.encode())


def main() -> None:
    """Make the committed files: two years, with faults and differences planted."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, default=HOME)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--months", type=int, default=MONTHS)
    parser.add_argument("--clean", action="store_true", help="plant no faults and no differences")
    asked = parser.parse_args()
    generate(asked.folder, asked.seed, asked.months)
    if not asked.clean:
        planted = plant(asked.folder / "firm" / "inbox")
        write_planted(asked.folder / "truth", planted)
        differences = plant_differences(asked.folder / "firm" / "inbox")
        write_differences(asked.folder / "truth", differences)


if __name__ == "__main__":
    main()
