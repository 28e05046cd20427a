"""A whole installation in one file: written while it runs, read back on either engine.

The file is a zip: `manifest.json`, its checksum, one file of JSON lines for each table, and on
request the keys of the data folder. Rows are written, not the engine's own pages, so a school that
outgrows SQLite restores the same file into PostgreSQL.
"""


class BackupError(Exception):
    """A sentence for whoever runs the server; nothing was changed."""
