"""What the edges of a job take out of new lengths of trim."""
