"""What could be allowed from now on, and the sentence that goes with it."""
