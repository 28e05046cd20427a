"""Cohorts and their people."""

import pytest
from django.urls import reverse

from coursework.models import Cohort, Enrolment, Person, Role
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(client, cohort):
    person = builders.lead(cohort)
    client.force_login(person)
    return person


def fields(cohort, **more) -> dict:
    base = {"course": cohort.course_id, "name": "Autumn"}
    return base | {"starts_on": "2026-09-01", "ends_on": "2026-09-05"} | more


def test_a_lead_starts_a_cohort_and_leads_it(client, cohort, lead):
    client.post(reverse("cohort-add"), fields(cohort))
    assert Cohort.objects.get(name="Autumn").enrolments.get(role=Role.LEAD).person == lead


def test_the_course_one_comes_from_is_chosen_already(client, cohort, lead):
    address = reverse("cohort-add") + f"?course={cohort.course_id}"
    assert client.get(address).context["form"].initial["course"] == cohort.course


@pytest.mark.parametrize("asked", ["x", "999999", "", "²"])
def test_an_odd_course_in_the_address_chooses_none(client, lead, asked):
    response = client.get(reverse("cohort-add"), {"course": asked})
    assert response.context["form"].initial["course"] is None


def test_a_cohort_that_ends_before_it_starts_is_refused(client, cohort, lead):
    response = client.post(reverse("cohort-add"), fields(cohort, ends_on="2026-08-31"))
    assert response.context["form"].errors["ends_on"] == ["The last day is before the first."]


def test_a_cohort_of_one_day_is_taken(client, cohort, lead):
    assert client.post(reverse("cohort-add"), fields(cohort, ends_on="2026-09-01")).url


def test_a_course_of_another_school_cannot_be_chosen(client, cohort, lead):
    response = client.post(reverse("cohort-add"), fields(cohort, course=builders.course().pk))
    assert "course" in response.context["form"].errors


def test_a_name_that_the_course_has_already_is_refused(client, cohort, lead):
    response = client.post(reverse("cohort-add"), fields(cohort, name=cohort.name.upper()))
    assert "already has a cohort of this name" in response.content.decode()


def test_the_course_of_a_cohort_stays_once_drills_are_planned(client, cohort, lead):
    builders.drill(cohort=cohort)
    other = builders.course(school=lead.school)
    client.post(reverse("cohort-edit", args=[cohort.pk]), fields(cohort, course=other.pk))
    assert Cohort.objects.get(pk=cohort.pk).course == cohort.course


def test_people_stand_under_their_roles_for_instructors_only(client, cohort, lead):
    student = builders.student(cohort, name="Lena Quist")
    address = reverse("cohort-detail", args=[cohort.pk])
    assert "Lena Quist" in client.get(address).content.decode()
    client.force_login(builders.student(cohort))
    assert student.name not in client.get(address).content.decode()


def test_an_assistant_sees_no_sign_in_names(client, cohort, lead):
    builders.student(cohort, username="lena.q")
    client.force_login(builders.assistant(cohort))
    assert "lena.q" not in client.get(reverse("cohort-detail", args=[cohort.pk])).content.decode()


def test_ticked_people_are_added_in_one_go(client, cohort, lead):
    people = [builders.person(school=lead.school) for _ in range(2)]
    chosen = {"role": "student", "people": [person.pk for person in people]}
    page = client.post(reverse("enrolment-add", args=[cohort.pk]), chosen, follow=True)
    assert "2 people are added." in page.content.decode()
    assert Enrolment.objects.filter(cohort=cohort, role=Role.STUDENT).count() == 2


def test_whoever_has_the_role_already_is_named(client, cohort, lead):
    student = builders.student(cohort, name="Lena Quist")
    chosen = {"role": "student", "people": [student.pk]}
    response = client.post(reverse("enrolment-add", args=[cohort.pk]), chosen)
    assert "Already student in this cohort: Lena Quist." in response.content.decode()


def test_people_of_another_school_cannot_be_ticked(client, cohort, lead):
    chosen = {"role": "student", "people": [builders.person().pk]}
    response = client.post(reverse("enrolment-add", args=[cohort.pk]), chosen)
    assert "people" in response.context["form"].errors


def test_the_people_to_tick_can_be_searched(client, cohort, lead):
    builders.person(school=lead.school, name="Lena Quist")
    response = client.get(reverse("enrolment-add", args=[cohort.pk]), {"q": "quist"})
    assert [p.name for p in response.context["form"].fields["people"].queryset] == ["Lena Quist"]


NEW = {"name": "Rua", "username": "rua", "role": "student", "password": "wet-socks-99"}


def test_a_new_person_can_sign_in(client, cohort, lead):
    client.post(reverse("person-add", args=[cohort.pk]), NEW)
    client.logout()
    fields = {"username": "rua", "password": "wet-socks-99"}
    assert client.post(reverse("sign-in"), fields).url == reverse("home")


@pytest.mark.parametrize(
    ("field", "bad", "sentence"),
    [
        ("password", "short", "too short"),
        ("password", "password123", "too common"),
        ("password", "rua-rua-rua", "too similar"),
        ("username", "has space", "valid username"),
        ("name", "", "required"),
        ("role", "king", "not one of the available choices"),
    ],
)
def test_a_bad_new_person_is_refused_at_the_field(client, cohort, lead, field, bad, sentence):
    more = {"username": "ruaruarua"} if "similar" in sentence else {}
    response = client.post(reverse("person-add", args=[cohort.pk]), NEW | more | {field: bad})
    assert sentence in response.context["form"].errors[field][0]
    assert not Person.objects.filter(name="Rua").exists()


def test_a_sign_in_name_that_is_taken_is_refused_in_plain_words(client, cohort, lead):
    builders.person(username="rua")
    response = client.post(reverse("person-add", args=[cohort.pk]), NEW)
    assert "Someone already has this sign-in name." in response.content.decode()


def test_someone_is_removed_after_asking(client, cohort, lead):
    row = builders.enrolment(cohort=cohort)
    address = reverse("enrolment-remove", args=[row.pk])
    client.get(address)
    assert Enrolment.objects.filter(pk=row.pk).exists()
    client.post(address)
    assert not Enrolment.objects.filter(pk=row.pk).exists()


def test_the_only_lead_is_told_to_find_another(client, cohort, lead):
    row = lead.enrolments.get()
    page = client.post(reverse("enrolment-remove", args=[row.pk]), follow=True)
    assert "Add another one first" in page.content.decode()


def test_a_lead_who_leaves_lands_on_a_page_that_can_be_seen(client, cohort, lead):
    builders.lead(cohort)
    row = lead.enrolments.get()
    page = client.post(reverse("enrolment-remove", args=[row.pk]), follow=True)
    assert page.status_code == 200


def test_an_assistant_saves_what_a_students_hand_covers(client, cohort):
    client.force_login(builders.assistant(cohort))
    row = builders.enrolment(cohort=cohort)
    client.post(reverse("enrolment-hand", args=[row.pk]), {"degrees_per_hand": "9.2"})
    row.person.refresh_from_db()
    assert row.person.degrees_per_hand == 9.2


def test_a_new_first_password_works_and_the_old_one_does_not(client, cohort, lead):
    student = builders.student(cohort, password="lost-and-gone")
    address = reverse("person-password", args=[student.pk])
    client.post(address, {"password": "found-again-1"})
    student.refresh_from_db()
    assert student.check_password("found-again-1")
    assert not student.check_password("lost-and-gone")


def test_a_cohort_is_removed_after_asking(client, cohort, lead):
    address = reverse("cohort-remove", args=[cohort.pk])
    client.get(address)
    assert Cohort.objects.filter(pk=cohort.pk).exists()
    client.post(address)
    assert not Cohort.objects.filter(pk=cohort.pk).exists()


def test_a_new_password_is_offered_only_where_it_may_be_set(client, cohort, lead):
    student = builders.student(cohort)
    leads_elsewhere = builders.student(cohort)
    other = builders.cohort(school=lead.school)
    builders.enrolment(cohort=other, person=leads_elsewhere, role=Role.LEAD)
    content = client.get(reverse("cohort-detail", args=[cohort.pk])).content.decode()
    assert reverse("person-password", args=[student.pk]) in content
    assert reverse("person-password", args=[leads_elsewhere.pk]) not in content
    assert reverse("person-password", args=[lead.pk]) not in content
