"""What a firm hands in, what is kept of it, and what a run works out: the single definition."""
