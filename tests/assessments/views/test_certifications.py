"""From a rule to a certificate in hand, over the pages."""

import pytest
from django.core.cache import cache
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessments.models import Certification, CertifiedSkill, Packet, RepeatOrder, Revision, SignOff
from tests import builders
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


def signed_in(person) -> Client:
    cache.clear()
    client = Client()
    client.force_login(person)
    return client


def said(response) -> str:
    return response.content.decode()


def test_a_lead_drafts_a_certification_adds_a_skill_and_publishes_it():
    world = made.world()
    lesson = builders.lesson(course=world.cohort.course, title="Shadows")
    client = signed_in(world.lead)
    sent = {"title": "Night navigator", "scope": "By stars.", "validity_months": 24}
    page = client.post(reverse("certification-add"), sent | {"renewal": "anew"}, follow=True)
    certification = Certification.objects.get(title="Night navigator")
    assert "Night navigator" in said(page)
    rule = {
        "exercise": world.drill.exercise.pk,
        "within_needed": 2,
        "of_last": 4,
        "distinct_days": 2,
        "distinct_assessors": 1,
        "both_halves": "on",
        "not_older_days": 400,
        "lessons": [lesson.pk],
    }
    page = client.post(reverse("skill-add", args=[certification.pk]), rule, follow=True)
    assert "2 attempts within the standard among the last 4" in said(page)
    assert "Lessons attended: Shadows." in said(page)
    client.post(reverse("certification-publish", args=[certification.pk]))
    certification.refresh_from_db()
    assert not certification.is_draft


def test_a_rule_that_cannot_be_met_is_refused_with_a_sentence():
    world = made.world()
    draft = made.certification(world.school, title="Next", published_at=None)
    sent = {"exercise": world.drill.exercise.pk, "within_needed": 5, "of_last": 3}
    sent |= {"distinct_days": 1, "distinct_assessors": 1}
    page = signed_in(world.lead).post(reverse("skill-add", args=[draft.pk]), sent)
    assert "more attempts within the standard than it looks at" in said(page)
    assert not CertifiedSkill.objects.filter(certification=draft).exists()


def test_each_clause_is_told_with_links_to_its_attempts():
    world = made.world(distinct_assessors=1, not_older_days=7000)
    page = said(
        signed_in(world.student).get(
            reverse("standing", args=[world.certification.pk, world.student.pk])
        )
    )
    assert "1 attempt within the standard in the last 3 that count: so far 1 of 1." in page
    assert world.attempt.get_absolute_url() in page
    assert "Sign off…" not in page  # nobody signs for themselves


def test_signing_issuing_and_withdrawing_over_the_pages():
    world = made.world()
    student = [world.certification.pk, world.student.pk]
    sign = reverse("skill-sign", args=[world.skill.pk, world.student.pk])
    page = signed_in(world.assistant).post(sign, follow=True)
    assert "is signed off for" in said(page)
    lead = signed_in(world.lead)
    page = lead.post(
        reverse("packet-issue", args=student), {"family_name": "Świerczyńska"}, follow=True
    )
    packet = Packet.objects.get()
    assert packet.number_in_groups in said(page)
    assert packet.check_address == f"http://testserver/check/{packet.number}"
    assert "M4 4h" in said(page)  # the code is drawn
    page = lead.post(
        reverse("packet-withdraw", args=[packet.pk]), {"reason": "By mistake."}, follow=True
    )
    assert "Withdrawn by Lena Lead" in said(page)


def test_a_sign_off_is_not_withdrawn_without_a_reason():
    world = made.world()
    signed = made.signed(world)
    address = reverse("sign-off-withdraw", args=[signed.pk])
    client = signed_in(world.lead)
    assert "This field is required" in said(client.post(address, {"reason": " "}))
    client.post(address, {"reason": "Wrong day."})
    assert not SignOff.objects.standing().exists()


def test_flagged_attempts_are_shown_to_the_lead_and_not_signed_by_an_assistant():
    world = made.world()
    Revision.objects.update(own_error_deg=40.0)
    sign = reverse("skill-sign", args=[world.skill.pk, world.student.pk])
    page = signed_in(world.assistant).post(sign, {"flags_accepted": "Fine."})
    assert "a course lead has to look at them" in said(page)
    page = signed_in(world.lead).get(sign)
    assert "Why the flagged attempts are accepted" in said(page)
    assert world.attempt.get_absolute_url() in said(page)


def test_a_repeat_is_ordered_from_the_page_and_told_there():
    world = made.world()
    Revision.objects.update(verdict="too close to call")
    standing = reverse("standing", args=[world.certification.pk, world.student.pk])
    address = reverse("repeat-order", args=[world.attempt.key])
    client = signed_in(world.lead)
    assert address in said(client.get(standing))
    client.post(address, {"reason": "Gusts."})
    assert RepeatOrder.objects.get().ordered_by == world.lead
    assert "one repeat ordered" in said(client.get(standing))
    assert address not in said(client.get(standing))


def test_a_correction_after_the_issue_is_told_on_the_packet():
    world = made.world()
    packet = made.issued(world)
    SignOff.objects.update(reopened_at=made.NOW, reopened_by=Revision.objects.first())
    page = said(signed_in(world.lead).get(packet.get_absolute_url()))
    assert "was corrected by Asim Assistant" in page


def test_the_list_of_certifications_takes_as_many_queries_for_many():
    world = made.world()
    client = signed_in(world.lead)

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            client.get(reverse("certification-list"))
        return len(found)

    one = queries()
    for number in range(4):
        other = made.certification(world.school, title=f"Other {number}")
        made.skill(other, world.drill.exercise)
    assert queries() == one


def test_the_page_of_a_certification_takes_as_many_queries_for_many_students():
    world = made.world()
    client = signed_in(world.lead)

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            client.get(world.certification.get_absolute_url())
        return len(found)

    one = queries()
    for _student in range(4):
        builders.student(world.cohort)
    assert queries() == one
