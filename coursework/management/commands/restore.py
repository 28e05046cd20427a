"""Reads everything back from a file that `backup` wrote."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from coursework.backups import BackupError
from coursework.backups.layout import Backup
from coursework.backups.restoring import restore_backup


class Command(BaseCommand):
    help = (
        "Reads everything back from a backup, into an empty place: a new data folder, or a new "
        "database. All of it is checked before anything is written. Stop the site first."
    )
    # The tables are made by the restoring itself.
    requires_migrations_checks = False

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, help="what manage.py backup wrote")
        parser.add_argument(
            "--replace-everything",
            action="store_true",
            help="delete all records that are here first",
        )
        parser.add_argument(
            "--with-keys",
            action="store_true",
            help="also write the backup’s keys into the data folder, over those that are there",
        )
        parser.add_argument(
            "--check-only", action="store_true", help="only hold the file against its checksums"
        )

    def handle(self, *, file, replace_everything, with_keys, check_only, **options):
        try:
            with Backup(file) as backup:
                said = f"{backup.manifest.rows} rows, made at {backup.manifest.made_at}"
                if check_only:
                    self.stdout.write(f"The backup is whole: {said}.")
                    return
                restore_backup(backup, replace=replace_everything, with_keys=with_keys)
        except BackupError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"Restored: {said}. Everyone signs in again.")
