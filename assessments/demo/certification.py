"""One certification of the invented school, some skills signed off, and a packet issued."""

from datetime import UTC, datetime

from django.urls import reverse

from assessments.certification.drafts import (
    publish_certification,
    save_certification,
    save_skill,
)
from assessments.certification.issuing import issue_packet
from assessments.certification.signing import sign_off
from assessments.demo.places import FOUNDATION
from assessments.models import Certification, CertifiedSkill, Renewal
from coursework.models import Exercise, Person

TITLE = "Direction by sun and shadow"
SCOPE = (
    "The holder has laid lines by the sun and its shadow without a compass, by day, on open ground "
    "at the sites named in the packet, and followed a compass leg there. It does not cover finding "
    "the way in cloud, at night, on glaciers or alone."
)
# Exercise, and what its skill asks for.
SKILLS = [
    ("Shadow-tip line", {"within_needed": 3, "of_last": 5, "distinct_days": 2}),
    (
        "Equal shadows",
        {"within_needed": 2, "of_last": 3, "distinct_days": 2, "distinct_assessors": 2},
    ),
    ("Hands above the horizon", {"within_needed": 2, "of_last": 3, "distinct_assessors": 2}),
    ("Compass leg over open ground", {"within_needed": 1, "of_last": 2}),
]
# Student to the number of skills that are signed off.
SIGNED = {"leonie": 4, "ines": 4, "corentin": 1, "petros": 1}
ISSUED = [("leonie", "Vautier")]
PUBLISHED_AT = datetime(2025, 5, 20, 12, 0, tzinfo=UTC)
SIGNED_AT = datetime(2025, 9, 15, 16, 30, tzinfo=UTC)
ISSUED_AT = datetime(2025, 9, 20, 9, 0, tzinfo=UTC)


def certify(admin: Person, address: str) -> None:
    people = Person.objects.filter(school=admin.school).in_bulk(field_name="username")
    lead, assistant = people["jadwiga"], people["tasos"]
    made = save_certification(
        admin,
        Certification(
            school=admin.school,
            title=TITLE,
            scope=SCOPE,
            validity_months=15,
            renewal=Renewal.ANEW,
        ),
    )
    skills = []
    for title, asked in SKILLS:
        exercise = Exercise.objects.filter(
            course__school=admin.school, course__title=FOUNDATION, title=title
        ).first()
        skill = CertifiedSkill(certification=made, **asked)
        skills.append(save_skill(admin, skill, exercise, []))
    publish_certification(admin, made, now=PUBLISHED_AT)
    made.refresh_from_db()
    for username, number in SIGNED.items():
        for skill in skills[:number]:
            skill.certification = made
            sign_off(assistant, skill, people[username], now=SIGNED_AT)
    for username, family_name in ISSUED:
        issue_packet(
            lead,
            made,
            people[username],
            family_name=family_name,
            check_address=f"{address}{reverse('certificate-check')}",
            now=ISSUED_AT,
        )
