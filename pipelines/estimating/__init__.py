"""From a roof as measured to what it needs, costs and risks."""
