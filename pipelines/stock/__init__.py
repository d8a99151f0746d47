"""Stock: counts held against the papers, and use that is known from counts alone."""
