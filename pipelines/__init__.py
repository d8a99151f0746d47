"""
The path of a firm's records.

inbox -> receiving -> checking -> history (warehouse) -> views from sql/ -> cutting of past jobs
-> calibration -> allowances -> pages (reports). `month` holds the run that walks it, `flows` the
same run under the orchestrator, `cli` the commands. Decisions, orders and mended rows come back
in through the inbox; nothing flows the other way.
"""
