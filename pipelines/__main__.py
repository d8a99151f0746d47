"""Run as `python -m pipelines`."""

import sys

from pipelines.cli import main

sys.exit(main())
