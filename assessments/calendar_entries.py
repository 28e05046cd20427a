"""Last days of a person's own certificates, for their private calendar."""

from collections.abc import Iterable

from icalendar import Event

from assessments.certification.expiry import entry_of
from assessments.models import Packet
from coursework.feed_entries import as_cancelled
from coursework.models import Person


def certificate_entries(person: Person) -> Iterable[Event]:
    """One a certificate; a withdrawn one stays as cancelled."""
    packets = Packet.objects.filter(student=person).select_related("certification")
    for packet in packets.order_by("pk"):
        entry = entry_of(packet)
        yield entry if packet.withdrawn_at is None else as_cancelled(entry)
