"""Says whether a credential file was signed by a key of this machine and still holds."""

from datetime import UTC, datetime
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from assessments.certification.credential import CredentialError, verified
from assessments.certification.status_list import is_withdrawn
from assessments.models import Packet


class Command(BaseCommand):
    help = (
        "Verifies a credential of a certificate (Open Badges 3.0, JWT) against the school keys in "
        "the data folder, without any network, and says whether it is valid, expired or withdrawn."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)
        parser.add_argument(
            "--status-list",
            type=Path,
            metavar="LIST",
            help="the list that the credential names, fetched by hand: for where its certificate "
            "is not in the database",
        )

    def handle(self, *, file, status_list, **options):
        try:
            claims = verified(_text_of(file))
            listed = status_list and is_withdrawn(
                claims, _text_of(status_list), now=datetime.now(UTC)
            )
        except CredentialError as error:
            raise CommandError(f"Not genuine. {error}") from error
        subject = claims["credentialSubject"]
        last = datetime.fromtimestamp(claims["exp"], UTC)
        self.stdout.write("The signature is the school’s, and nothing was changed.")
        self.stdout.write(f"Holder:     {subject['identifier'][0]['identityHash']}")
        self.stdout.write(f"Certifies:  {claims['name']}")
        self.stdout.write(f"Issued by:  {claims['issuer']['name']}")
        self.stdout.write(f"From, until: {claims['validFrom']}, {claims['validUntil']}")
        packet = Packet.objects.filter(check_address=claims["id"]).first()
        if listed or (packet is not None and packet.withdrawn_at is not None):
            self.stdout.write("State:      withdrawn")
        elif last < datetime.now(UTC):
            self.stdout.write("State:      expired")
        elif packet is not None or listed is False:
            self.stdout.write("State:      valid")
        else:
            self.stdout.write("State:      within its dates; not in this database")
            self.stdout.write(f"Whether it was withdrawn is told by {_list_of(claims)}")


def _text_of(file: Path) -> str:
    try:
        return file.read_text(encoding="ascii")
    except OSError as error:
        raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise CommandError(f"{file} is no credential: it is not plain text.") from error


def _list_of(claims: dict) -> str:
    entry = claims.get("credentialStatus") or {}
    return entry.get("statusListCredential", claims["id"])
