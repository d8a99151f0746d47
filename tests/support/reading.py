"""A process that reads what a firm has published, over and over, until it is told to stop."""

import json
import sys
from pathlib import Path

import duckdb


def main(root: Path) -> None:
    """Read until `stop` stands in the folder; print the states seen and the torn pages."""
    seen: set[tuple[str, int]] = set()
    torn: list[str] = []
    while True:
        is_last = (root / "stop").exists()
        with duckdb.connect(str(root / "warehouse.duckdb"), read_only=True) as connection:
            run = connection.execute("SELECT run.fingerprint FROM run.run AS run").fetchone()
            files = connection.execute("SELECT count(*) FROM receipt.file AS file").fetchone()
        assert run is not None
        assert files is not None
        seen.add((run[0], files[0]))
        torn.extend(
            page.name
            for page in (root / "pages").glob("*.html")
            if not page.read_text(encoding="utf-8").rstrip().endswith("</html>")
        )
        if is_last:
            break
        (root / "reading").touch()
    sys.stdout.write(json.dumps({"files": sorted(count for _, count in seen), "torn": torn}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
