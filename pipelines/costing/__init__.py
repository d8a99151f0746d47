"""Costing: what a SELECT over lots and movements cannot do."""
