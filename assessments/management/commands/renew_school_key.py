"""Makes a new signing key for a school before its time, as after a leak or a move."""

from django.core.management.base import BaseCommand, CommandError

from assessments.certification.keys import renew
from coursework.models import School


class Command(BaseCommand):
    help = (
        "Makes a new key that signs a school's certificates from now on. Earlier keys stay in the "
        "data folder, so that what they signed can still be verified; delete the file of one that "
        "leaked."
    )

    def add_arguments(self, parser):
        parser.add_argument("school", help="name of the school")

    def handle(self, *, school, **options):
        found = School.objects.filter(name=school).first()
        if found is None:
            raise CommandError(f"There is no school called “{school}”.")
        key = renew(found)
        self.stdout.write(f"New key of {found}, in force to {key.last_day}.")
        self.stdout.write(f"Fingerprint (SHA-256): {key.fingerprint}")
