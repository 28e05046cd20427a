"""Prints the code that the first page of an empty installation asks for."""

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from coursework.models import School
from coursework.setup_code import setup_code


class Command(BaseCommand):
    help = (
        "Prints the setup code: the first page of an empty installation, /start/, asks for it, so "
        "that nobody else on the network can take the installation. It serves once."
    )

    def handle(self, **options):
        try:
            is_taken = School.objects.exists()
        except DatabaseError as error:
            raise CommandError("Prepare the database first: manage.py migrate") from error
        if is_taken:
            raise CommandError("This installation has a school already: no code is needed.")
        self.stdout.write(setup_code())
