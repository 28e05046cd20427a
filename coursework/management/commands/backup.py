"""Writes everything into one file while the site runs."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from coursework.backups import BackupError
from coursework.backups.writing import write_backup


class Command(BaseCommand):
    help = (
        "Writes all records into one file, as they are at one instant, while the site runs. The "
        "file is restored on SQLite or PostgreSQL. Keep it where only the school can read it."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, help="a name that is not taken yet, ending in .zip")
        parser.add_argument(
            "--with-keys",
            action="store_true",
            help="also the secret key and the keys that certificates are signed with",
        )

    def handle(self, *, file, with_keys, **options):
        try:
            manifest = write_backup(file, with_keys=with_keys)
        except BackupError as error:
            raise CommandError(str(error)) from error
        keys = f" and {len(manifest.key_files)} files of keys" if with_keys else ", without keys"
        self.stdout.write(f"{manifest.rows} rows of {len(manifest.tables)} tables{keys} in {file}.")
