"""Frames in, pages and workbooks out: what people read, and what they fill in."""
