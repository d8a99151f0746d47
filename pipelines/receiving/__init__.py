"""From a received file to columns of text with file, sheet and row. Nothing is judged here."""
