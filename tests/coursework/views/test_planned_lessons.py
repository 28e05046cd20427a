"""Planned lessons over their pages, and where else they are shown."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from coursework.models import Attendance, PlannedLesson
from tests import builders

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 9, 21, 6, 0, tzinfo=UTC)
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def cohort(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    return builders.cohort()


@pytest.fixture
def lesson(cohort):
    return builders.lesson(course=cohort.course, title="The day’s arc", minutes=75, kit="A globe")


@pytest.fixture
def lead(client, cohort):
    person = builders.lead(cohort)
    client.force_login(person)
    return person


@pytest.fixture
def planned(cohort, lesson, lead):
    return builders.planned_lesson(cohort=cohort, lesson=lesson, lead=lead, starts_at=NOON)


def page(client, name, *args, **query) -> str:
    return client.get(reverse(name, args=args), query).content.decode()


def fields(lesson, lead, **more) -> dict:
    sent = {"lesson": lesson.pk, "day": "2026-09-23", "clock": "09:30", "place": "School room"}
    return sent | {"lead": lead.pk, "place_zone": "Europe/Zurich"} | more


def drawn(client, name, *args, **query):
    """The form of a page, as it is drawn."""
    return client.get(reverse(name, args=args), query).context["form"]


def send(client, cohort, sent):
    return client.post(reverse("planned-lesson-add", args=[cohort.pk]), sent)


def test_a_lesson_is_planned_as_long_as_its_plan_says_by_the_clock_of_the_place(
    client, cohort, lesson, lead
):
    builders.site(school=cohort.course.school)
    assert send(client, cohort, fields(lesson, lead, note="Pencils.")).status_code == 302
    made = PlannedLesson.objects.get()
    assert (made.starts_at, made.minutes) == (datetime(2026, 9, 23, 7, 30, tzinfo=UTC), 75)
    assert (made.place, made.site, made.note, made.zone) == (
        "School room",
        None,
        "Pencils.",
        "Europe/Zurich",
    )


def test_at_a_site_the_clock_is_the_sites(client, cohort, lesson, lead):
    site = builders.site(school=cohort.course.school, zone="Asia/Tokyo")
    sent = fields(lesson, lead, site=site.pk, place="", minutes="40", place_zone="UTC")
    assert send(client, cohort, sent).status_code == 302
    made = PlannedLesson.objects.get()
    assert (made.starts_at, made.minutes) == (datetime(2026, 9, 23, 0, 30, tzinfo=UTC), 40)
    assert made.place_name == site.name


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"place": ""}, "Say where it is held: a site, or a place in words."),
        ({"clock": ""}, "This field is required."),
        ({"minutes": "2"}, "greater than or equal to 5"),
        ({"day": "1789-07-14"}, "Only the years 1990 to 2050"),
        ({"place_zone": "Mars/Base"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_saved(
    client, cohort, lesson, lead, wrong, words
):
    builders.site(school=cohort.course.school)
    answer = send(client, cohort, fields(lesson, lead, **wrong))
    assert words in answer.content.decode()
    assert not PlannedLesson.objects.exists()


def test_a_button_pressed_twice_plans_one(client, cohort, lesson, lead):
    builders.site(school=cohort.course.school)
    sent = fields(lesson, lead)
    send(client, cohort, sent)
    assert "planned already" in send(client, cohort, sent).content.decode()
    assert PlannedLesson.objects.count() == 1


def test_what_speaks_against_it_stands_beside_the_form_as_one_chooses(client, planned, lead):
    builders.site(school=lead.school)
    address = reverse("planned-lesson-conflicts", args=[planned.cohort_id])
    at_once = fields(planned.lesson, lead, day="2026-09-22", clock="13:30")
    assert "is at “The day’s arc”" in client.post(address, at_once).content.decode()
    itself = client.post(f"{address}?booking={planned.pk}", at_once).content.decode()
    assert "Nothing that can be seen from here" in itself
    assert "Choose what, where and when" in client.post(address, {}).content.decode()
    assert client.post(f"{address}?booking=9999", at_once).status_code == 404


def test_a_lesson_and_a_day_of_the_address_stand_in_the_form(client, cohort, lesson, lead):
    text = page(client, "planned-lesson-add", cohort.pk, lesson=lesson.pk, day="2026-09-25")
    assert f'value="{lesson.pk}" selected' in text
    assert 'value="2026-09-25"' in text
    form = drawn(client, "planned-lesson-add", cohort.pk, lesson="x", day="tomorrow")
    assert (form["lesson"].value(), form["day"].value()) == (None, None)
    assert form["minutes"].value() is None  # as long as its plan says


def test_it_is_edited_cancelled_put_back_and_removed(client, planned, lead):
    detail = reverse("planned-lesson-detail", args=[planned.pk])
    sent = fields(planned.lesson, lead, minutes="30")
    assert client.post(reverse("planned-lesson-edit", args=[planned.pk]), sent).url == detail
    planned.refresh_from_db()
    assert (planned.minutes, planned.sequence) == (30, 1)
    cancel = reverse("planned-lesson-cancel", args=[planned.pk])
    assert client.post(cancel, {"reason": ""}).status_code == 200
    client.post(cancel, {"reason": "Snow."})
    assert "Snow." in client.get(detail).content.decode()
    client.post(reverse("planned-lesson-take-up", args=[planned.pk]))
    assert "Snow." not in client.get(detail).content.decode()
    client.post(reverse("planned-lesson-remove", args=[planned.pk]))
    assert not PlannedLesson.objects.exists()


@pytest.mark.parametrize("name", ["cancel", "take-up", "remove", "attendance"])
def test_before_anything_is_done_to_it_its_page_says_which_of_several_it_is(
    client, planned, lead, name
):
    planned.groups.add(builders.group(cohort=planned.cohort, name="Kites"))
    shown = page(client, f"planned-lesson-{name}", planned.pk)
    assert f"Tue 22 September 2026, 13:00 CEST, {planned.place_name}, Kites" in shown


def test_attendance_leads_back_to_the_lessons_and_to_the_planned_one(client, planned, lead):
    shown = page(client, "planned-lesson-attendance", planned.pk)
    assert f'<a href="{reverse("cohort-lessons", args=[planned.cohort_id])}">Lessons</a>' in shown
    assert f'<a href="{reverse("planned-lesson-detail", args=[planned.pk])}">' in shown


def test_what_speaks_against_it_is_told_once_and_no_field_is_blamed(client, cohort, planned, lead):
    sent = fields(planned.lesson, lead, day="2026-09-22", clock="11:30")
    shown = send(client, cohort, sent).content.decode()
    assert shown.count("nothing is saved yet") == 1
    assert '<div class="alert alert-danger" role="alert">' in shown
    assert "beside the fields" not in shown
    wrong = send(client, cohort, fields(planned.lesson, lead, day="2099-01-01")).content.decode()
    assert "beside the fields" in wrong
    assert "Only the years 1990 to 2050 can be planned." in wrong


def test_attendance_is_taken_of_its_own_people(client, planned, lead):
    inside, outside = (builders.student(planned.cohort) for _n in range(2))
    planned.groups.add(builders.group(inside, cohort=planned.cohort))
    address = reverse("planned-lesson-attendance", args=[planned.pk])
    text = client.get(address).content.decode()
    assert inside.name in text
    assert outside.name not in text
    client.post(address, {f"person-{inside.pk}": "present"})
    (mark,) = Attendance.objects.all()
    assert (mark.person, mark.present, mark.lesson) == (inside, True, planned.lesson)
    assert "present" in page(client, "planned-lesson-detail", planned.pk)


def test_after_a_move_to_a_version_without_it_there_is_nothing_to_mark(client, planned, lead):
    builders.student(planned.cohort)
    address = reverse("planned-lesson-attendance", args=[planned.pk])
    assert address in page(client, "planned-lesson-detail", planned.pk)
    planned.cohort.course = builders.course(
        school=planned.cohort.course.school, lineage=planned.cohort.course.lineage, number=2
    )
    planned.cohort.save()
    assert client.get(address).status_code == 404
    assert address not in page(client, "planned-lesson-detail", planned.pk)


def test_a_student_reads_when_where_and_the_own_mark_and_nobody_elses(client, planned, monkeypatch):
    student, other = (builders.student(planned.cohort) for _n in range(2))
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)
    client.force_login(student)
    text = page(client, "planned-lesson-detail", planned.pk)
    for words in ("The day’s arc", "13:00–14:00 CEST", "School room", "you are not marked yet"):
        assert words in text
    assert other.name not in text
    assert "Edit" not in text


def test_a_student_is_told_of_no_mark_before_the_lesson_nor_of_another_groups(
    client, planned, monkeypatch
):
    inside, outside = (builders.student(planned.cohort) for _n in range(2))
    planned.groups.add(builders.group(inside, cohort=planned.cohort))
    client.force_login(inside)
    assert "you are not marked yet" not in page(client, "planned-lesson-detail", planned.pk)
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)
    assert "you are not marked yet" in page(client, "planned-lesson-detail", planned.pk)
    client.force_login(outside)
    assert "you are not marked yet" not in page(client, "planned-lesson-detail", planned.pk)


@pytest.mark.parametrize("view", ["agenda", "week", "month"])
def test_it_stands_in_every_view_of_the_calendar_in_the_order_of_the_day(client, planned, view):
    builders.drill(
        cohort=planned.cohort,
        starts_at=NOON - timedelta(hours=3),
        exercise=builders.exercise(course=planned.cohort.course, title="Watch face"),
    )
    text = page(client, "calendar", view=view, date="2026-09-22")
    assert 0 < text.index("Watch face") < text.index("The day’s arc")
    assert reverse("planned-lesson-detail", args=[planned.pk]) in text
    assert f"{reverse('plan-choose')}?day=2026-09-22" in text


def test_a_month_tells_two_of_one_lesson_apart_by_their_groups(client, planned, lead):
    planned.groups.add(builders.group(cohort=planned.cohort, name="Kites"))
    assert "Kites" in page(client, "calendar", view="month", date="2026-09-22")


def test_a_student_has_the_lessons_of_the_own_groups_in_the_calendar(client, planned):
    planned.groups.add(builders.group(cohort=planned.cohort))
    client.force_login(builders.student(planned.cohort))
    assert "The day’s arc" not in page(client, "calendar", date="2026-09-22")
    assert "The day’s arc" in page(client, "calendar", date="2026-09-22", whose="all")


def test_what_is_planned_is_begun_from_the_calendar_with_one_of_the_own_cohorts(
    client, cohort, lead
):
    other = builders.cohort(school=cohort.course.school)
    text = page(client, "plan-choose", day="2026-09-25")
    for name in ("planned-lesson-add", "drill-add"):
        assert f"{reverse(name, args=[cohort.pk])}?day=2026-09-25" in text
    assert other.name not in text
    form = drawn(client, "drill-add", cohort.pk, day="2026-09-25")
    assert form["day"].value() == date(2026, 9, 25)


def test_the_first_page_has_those_of_today_and_of_the_week(client, planned, lead, monkeypatch):
    assert "The day’s arc" in page(client, "home")
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)
    text = page(client, "home")
    today = text[text.index('id="today"') : text.index('id="cohorts"')]
    assert "The day’s arc" in today
    assert reverse("planned-lesson-attendance", args=[planned.pk]) in today


def test_the_first_page_says_what_speaks_against_a_lesson_of_the_week(client, planned, lead):
    planned.lead = None
    planned.save()
    text = page(client, "home")
    assert "What speaks against plans of these days" in text
    assert "Nobody is named to lead it." in text


def test_a_students_first_page_has_the_next_lesson_and_what_to_bring(client, planned):
    student = builders.student(planned.cohort)
    client.force_login(student)
    text = page(client, "home")
    assert "Your next lesson" in text
    assert "A globe" in text
    planned.groups.add(builders.group(cohort=planned.cohort))
    assert "Your next lesson" not in page(client, "home")


def test_the_cohorts_pages_have_them_and_a_way_to_plan_one(client, planned, lesson):
    detail = reverse("planned-lesson-detail", args=[planned.pk])
    add = reverse("planned-lesson-add", args=[planned.cohort_id])
    text = page(client, "cohort-detail", planned.cohort_id)
    assert detail in text
    assert add in text
    text = page(client, "cohort-lessons", planned.cohort_id)
    assert detail in text
    assert f"{add}?lesson={lesson.pk}" in text


def test_the_pages_ask_as_much_for_many_lessons_as_for_few(
    client, planned, lead, django_assert_max_num_queries
):
    pages = [("home", ()), ("cohort-detail", (planned.cohort_id,))]
    pages.append(("cohort-lessons", (planned.cohort_id,)))
    group = builders.group(builders.student(planned.cohort), cohort=planned.cohort)
    planned.groups.add(group)
    builders.drill(cohort=planned.cohort, starts_at=NOON + timedelta(hours=5), lead=lead)
    client.get(reverse("home"))
    asked = {}
    for name, args in pages:
        with django_assert_max_num_queries(90) as found:
            client.get(reverse(name, args=args))
        asked[name] = len(found)
    for n in range(6):
        more = builders.planned_lesson(
            cohort=planned.cohort,
            lesson=builders.lesson(course=planned.cohort.course),
            starts_at=NOON + timedelta(hours=n),
        )
        more.groups.add(group)
    for name, args in pages:
        with django_assert_max_num_queries(asked[name]):
            client.get(reverse(name, args=args))
