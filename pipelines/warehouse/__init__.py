"""The warehouse: history, the tables and views over it, and how a run publishes them."""
