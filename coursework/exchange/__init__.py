"""A course as one JSON file: written, read with all its faults told, described by a schema."""

FORMAT = "plumbshadow course"
VERSION = 1
LARGEST_BYTES = 1_000_000
MOST_ROWS = 200
"""Lessons, and exercises, that one file may have."""
