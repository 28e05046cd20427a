"""What the invented school holds about its people: approvals, and what some share."""

from datetime import timedelta
from uuid import UUID

from django.utils import timezone

from assessments.demo.places import ALPINE_2026
from coursework.models import Approval, Cohort, Person, Role
from coursework.services import invite, record_approval, share_contact

# Sign-in name, kind, what it is, and the days from today to the last one that it holds.
APPROVALS = [
    ("jadwiga", Approval.Kind.FIRST_AID, "Wilderness first aid, 32 h", 430),
    ("jadwiga", Approval.Kind.ASSESSOR, "Approved by the school’s board", 25),
    ("leonie", Approval.Kind.FIRST_AID, "First aid for leaders, 16 h", -12),
    ("leonie", Approval.Kind.ASSESSOR, "Approved by the school’s board", 700),
    ("tasos", Approval.Kind.FIRST_AID, "Wilderness first aid, 32 h", 210),
    ("aroha", Approval.Kind.FIRST_AID, "Outdoor first aid, 24 h", 500),
    ("aroha", Approval.Kind.ASSESSOR, "Approved by the school’s board", 500),
    ("vinh", Approval.Kind.FIRST_AID, "Outdoor first aid, 24 h", 41),
]
HELD_FOR = timedelta(days=1095)
# Sign-in name, contact and medical note; None and blank where it is not shared.
SHARED = [
    ("thuy", ("Vương Minh Đức", "+33 7 00 00 01 12"), "Allergic to wasp stings; carries a pen."),
    ("matteo", ("Rosanna Colderove", "+33 7 00 00 01 47"), ""),
    ("ewa", None, "Asthma: inhaler in the top pocket of the pack."),
    ("hakim", ("Salma Ziyānī", "+33 7 00 00 01 80"), ""),
]


def look_after(admin: Person) -> None:
    """Approvals with the day they lapse, what students share, and a link that is still open."""
    today = timezone.now().date()
    people = Person.objects.filter(school=admin.school).in_bulk(field_name="username")
    for username, kind, detail, days in APPROVALS:
        last = today + timedelta(days=days)
        record_approval(
            admin,
            Approval(
                person=people[username],
                kind=kind,
                detail=detail,
                issued_on=last - HELD_FOR,
                expires_on=last,
            ),
        )
    for username, emergency, medical in SHARED:
        share_contact(people[username], emergency=emergency, medical=medical)
    invite(
        people["jadwiga"],
        cohort=Cohort.objects.get(name=ALPINE_2026, course__school=admin.school),
        role=Role.STUDENT,
        notes=["Signe Holmqvist"],
        days=14,
        asked=UUID(int=1),
    )
