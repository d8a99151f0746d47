"""The runs under the orchestrator: a thin shell round plain functions."""
