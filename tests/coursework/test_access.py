"""Who gets what at every address of coursework: one table, role by role.

A stranger gets 404 for a thing of another school, a reader who may not write gets 403, and
whoever has not signed in is sent to sign in.
"""

import pytest
from django.test import Client
from django.urls import URLPattern, reverse

from coursework import urls
from coursework.models import Role
from tests import builders

ROLES = ["student", "assistant", "lead", "administrator", "other_lead", "stranger"]
# 'other_lead' leads another cohort of the school; 'stranger' administers another school.
ALL = [200, 200, 200, 200, 200, 200]
READ_SCHOOL = [200, 200, 200, 200, 200, 404]  # in the student's case: of the own cohort
ARRANGE_SCHOOL = [403, 403, 200, 200, 200, 404]
ADD_TO_SCHOOL = [403, 403, 200, 200, 200, 200]
# What is not published yet is for those who teach, and changed by those who arrange.
DRAFT = [404, 403, 200, 200, 200, 404]
SENT_BACK = [404, 403, 302, 302, 302, 404]
STAFF = [404, 200, 200, 200, 200, 404]
READ_COHORT = [200, 200, 200, 200, 404, 404]
ARRANGE_COHORT = [403, 403, 200, 200, 404, 404]
ASSESS_COHORT = [403, 200, 200, 200, 404, 404]
LISTED = [404, 404, 200, 200, 200, 404]
ADMINISTER = [404, 404, 403, 200, 403, 404]

TABLE = {
    "home": (None, ALL),
    "profile": (None, ALL),
    "password-change": (None, ALL),
    "second-step": (None, ALL),
    "second-step-codes": (None, [302] * 6),  # off: there is nothing to renew
    "second-step-stop": (None, ALL),
    "person-second-step": ("person", ADMINISTER),
    "course-list": (None, ALL),
    "course-add": (None, ADD_TO_SCHOOL),
    "course-detail": ("course", READ_SCHOOL),
    "course-edit": ("draft", DRAFT),
    "course-remove": ("course", ARRANGE_SCHOOL),
    "course-publish": ("draft", DRAFT),
    "course-discard": ("draft", DRAFT),
    "course-change": ("course", ARRANGE_SCHOOL),
    "course-copy": ("course", ARRANGE_SCHOOL),
    "course-export": ("course", ARRANGE_SCHOOL),
    "course-import": (None, ADD_TO_SCHOOL),
    "course-sample": (None, [403, 403, 302, 302, 302, 302]),
    "lesson-add": ("draft", DRAFT),
    "lesson-detail": ("lesson", READ_SCHOOL),
    "lesson-edit": ("draft_lesson", DRAFT),
    "lesson-remove": ("draft_lesson", DRAFT),
    "lesson-shift": ("draft_lesson", SENT_BACK),
    "exercise-add": ("draft", DRAFT),
    "exercise-detail": ("exercise", READ_SCHOOL),
    "exercise-edit": ("draft_exercise", DRAFT),
    "exercise-remove": ("draft_exercise", DRAFT),
    "exercise-shift": ("draft_exercise", SENT_BACK),
    "site-list": (None, ALL),
    "site-add": (None, ADD_TO_SCHOOL),
    "site-detail": ("site", READ_SCHOOL),
    "site-edit": ("site", ARRANGE_SCHOOL),
    "site-remove": ("site", ARRANGE_SCHOOL),
    "position-read": (None, ALL),
    "skyline-editor": (None, ADD_TO_SCHOOL),
    "mark-add": ("site", ARRANGE_SCHOOL),
    "mark-edit": ("mark", ARRANGE_SCHOOL),
    "mark-remove": ("mark", ARRANGE_SCHOOL),
    "instrument-list": (None, [403, 200, 200, 200, 200, 200]),
    "instrument-add": (None, ADD_TO_SCHOOL),
    "instrument-detail": ("instrument", [404, 200, 200, 200, 200, 404]),
    "instrument-check": ("instrument", [404, 403, 200, 200, 200, 404]),
    "instrument-retire": ("instrument", [404, 403, 200, 200, 200, 404]),
    "instrument-edit": ("instrument", [404, 403, 200, 200, 200, 404]),
    "instrument-remove": ("instrument", [404, 403, 200, 200, 200, 404]),
    "cohort-list": (None, ALL),
    "cohort-add": (None, ADD_TO_SCHOOL),
    "cohort-detail": ("cohort", READ_COHORT),
    "cohort-edit": ("cohort", ARRANGE_COHORT),
    "cohort-remove": ("cohort", ARRANGE_COHORT),
    "cohort-move": ("cohort", ARRANGE_COHORT),
    "cohort-lessons": ("cohort", READ_COHORT),
    "attendance": (("cohort", "lesson"), ASSESS_COHORT),
    "plan-choose": (None, ADD_TO_SCHOOL),
    "planned-lesson-add": ("cohort", ARRANGE_COHORT),
    "planned-lesson-conflicts": ("cohort", ARRANGE_COHORT),
    "planned-lesson-detail": ("planned", READ_COHORT),
    "planned-lesson-edit": ("planned", ARRANGE_COHORT),
    "planned-lesson-cancel": ("planned", ARRANGE_COHORT),
    "planned-lesson-take-up": ("cancelled_lesson", ARRANGE_COHORT),
    "planned-lesson-remove": ("planned", ARRANGE_COHORT),
    "planned-lesson-attendance": ("planned", ASSESS_COHORT),
    "enrolment-add": ("cohort", ARRANGE_COHORT),
    "person-add": ("cohort", ARRANGE_COHORT),
    "enrolment-remove": ("enrolment", ARRANGE_COHORT),
    "enrolment-hand": ("enrolment", ASSESS_COHORT),
    "enrolment-paces": ("enrolment", ASSESS_COHORT),
    "person-password": ("person", ARRANGE_COHORT),
    "profile-contact": (None, ALL),
    "profile-paces": (None, ALL),
    "person-list": (None, ADD_TO_SCHOOL),
    "person-detail": ("person", LISTED),
    "person-edit": ("person", ADMINISTER),
    "person-close": ("person", ADMINISTER),
    "person-reopen": ("person", ADMINISTER),
    "person-erase": ("person", ADMINISTER),
    "person-export": ("person", [404, 404, 404, 200, 404, 404]),
    "person-link": ("person", [404, 404, 200, 200, 403, 404]),
    "staff-list": (None, [403, 200, 200, 200, 200, 200]),
    "approval-add": ("person", ADMINISTER),
    "approval-edit": ("approval", [404, 403, 403, 200, 403, 404]),
    "approval-remove": ("approval", [404, 403, 403, 200, 403, 404]),
    "invitation-list": (None, ADD_TO_SCHOOL),
    "invitation-add": (None, ADD_TO_SCHOOL),
    "invitation-revoke": ("invitation", [404, 404, 200, 200, 404, 404]),
    "roster-import": ("cohort", ARRANGE_COHORT),
    "drill-add": ("cohort", ARRANGE_COHORT),
    "drill-list": (None, ALL),
    "drill-detail": ("drill", READ_COHORT),
    "decision-add": ("drill", ARRANGE_COHORT),
    "incident-list": (None, [403, 200, 200, 200, 200, 200]),
    "incident-add": (None, [403, 200, 200, 200, 200, 200]),
    "incident-detail": ("incident", STAFF),
    "incident-note": ("incident", STAFF),
    "follow-up-add": ("incident", STAFF),
    "follow-up-close": ("follow_up", [404, 403, 200, 200, 200, 404]),
    "school-settings": (None, [403, 403, 403, 200, 403, 200]),
    "drill-edit": ("drill", ARRANGE_COHORT),
    "drill-remove": ("drill", ARRANGE_COHORT),
    "calendar": (None, ALL),
    "calendar-feed": (None, ALL),
    "calendar-feed-revoke": (None, ALL),
    "timetable": ("cohort", ARRANGE_COHORT),
    "drill-conflicts": ("cohort", ARRANGE_COHORT),
    "drill-cancel": ("drill", ARRANGE_COHORT),
    "drill-take-up": ("cancelled", ARRANGE_COHORT),
    "group-add": ("cohort", ARRANGE_COHORT),
    "group-edit": ("group", ARRANGE_COHORT),
    "group-remove": ("group", ARRANGE_COHORT),
}
OPEN = {
    "sign-in-code", "health", "calendar-file", "sign-in", "sign-out", "join", "found-school",
    "choose-light",
    "choose-language",
}  # fmt: skip
NAMES = [pattern.name for pattern in urls.urlpatterns if isinstance(pattern, URLPattern)]


def address(name: str, world) -> str:
    of = TABLE[name][0] or ()
    things = (of,) if isinstance(of, str) else of
    return reverse(name, args=[getattr(world, thing).pk for thing in things])


def test_the_table_holds_every_address_of_coursework():
    assert set(NAMES) - OPEN == set(TABLE)


@pytest.mark.parametrize("name", TABLE)
def test_each_role_gets_what_the_table_says(world, name):
    got = {}
    for role in ROLES:
        client = Client()
        client.force_login(getattr(world, role))
        got[role] = client.get(address(name, world)).status_code
    assert got == dict(zip(ROLES, TABLE[name][1], strict=True))


@pytest.mark.parametrize("name", [name for name in TABLE if TABLE[name][1] not in (ALL,)])
def test_sending_a_form_is_refused_to_the_same_people_as_reading_it(world, name):
    got, expected = {}, {}
    for role, status in zip(ROLES, TABLE[name][1], strict=True):
        if status == 200:
            continue
        client = Client()
        client.force_login(getattr(world, role))
        got[role] = client.post(address(name, world)).status_code
        expected[role] = status
    assert got == expected


@pytest.mark.parametrize("name", TABLE)
def test_whoever_has_not_signed_in_is_sent_to_sign_in(world, client, name):
    response = client.get(address(name, world))
    assert response.status_code == 302
    assert response.url.startswith(reverse("sign-in"))


def test_someone_without_a_school_sees_an_explanation_and_no_lists(client, db):
    client.force_login(builders.person(school=None))
    assert b"belongs to no school yet" in client.get(reverse("home")).content


@pytest.mark.parametrize("role", Role.values)
def test_a_role_in_a_cohort_of_another_school_gives_no_rights(world, client, role):
    outsider = builders.person()
    builders.enrolment(cohort=world.cohort, person=outsider, role=role)
    client.force_login(outsider)
    assert client.get(reverse("cohort-detail", args=[world.cohort.pk])).status_code == 404
    assert client.get(reverse("site-add")).status_code == 403
