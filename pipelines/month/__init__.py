"""The run: everything that is due, from the inbox to the pages, in one order."""
