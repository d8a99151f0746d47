"""What past jobs say of the loss on top of what was specified."""
