"""Judging received rows: what is taken in, mended, already held or rejected, and why."""
