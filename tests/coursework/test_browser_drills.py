"""Planning a drill or a lesson in a real browser: what speaks against it comes as one chooses."""

from datetime import UTC, date, datetime

import pytest
from playwright.sync_api import expect

from coursework.models import Attendance, Drill, PlannedLesson
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


def signed_in(page):
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Today", exact=True).wait_for()
    return page


def test_conflicts_come_while_one_chooses_and_are_taken_on_with_a_reason(desk_page):
    cohort = builders.cohort(ends_on=date(2027, 9, 30))
    school = cohort.course.school
    lead = builders.lead(cohort, username="tove", password=PASSWORD, name="Tove Lind")
    exercise = builders.exercise(course=cohort.course, title="Shadow-tip line")
    site = builders.site(school=school)
    page = signed_in(desk_page)
    page.goto(f"/cohorts/{cohort.pk}/drills/new/")
    page.evaluate("window.stays = true")
    beside = page.locator("#conflicts")
    expect(beside).to_contain_text("Choose what, where and when")
    page.get_by_label("Exercise").select_option(str(exercise.pk))
    page.get_by_label("Site").select_option(str(site.pk))
    page.get_by_label("Date").fill("2027-06-20")
    # A midsummer morning: the shadow-tip line is far off then.
    page.get_by_label("Start").fill("09:00")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("The method itself is off by")
    page.get_by_label("Start").fill("13:00")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("Nothing that can be seen from here")
    page.get_by_label("Start").fill("21:30")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("The sun is below the skyline")
    assert page.evaluate("window.stays")
    page.get_by_role("button", name="Save the drill").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert not Drill.objects.exists()
    page.get_by_label("Held all the same").fill("To see what the twilight gives away.")
    page.get_by_role("button", name="Save the drill").click()
    expect(page.get_by_text("To see what the twilight gives away.").first).to_be_visible()
    (drill,) = Drill.objects.all()
    taken = drill.plan_exceptions.all()
    assert {(one.reason, one.by) for one in taken} == {
        ("To see what the twilight gives away.", lead)
    }
    assert any("below the skyline" in one.sentence for one in taken)


def test_a_lesson_is_planned_from_the_calendar_and_its_attendance_taken(phone_page):
    cohort = builders.cohort(ends_on=date(2027, 9, 30))
    lead = builders.lead(cohort, username="tove", password=PASSWORD, name="Tove Lind")
    student = builders.student(cohort, name="Odo Brandt")
    site = builders.site(school=lead.school)
    lesson = builders.lesson(course=cohort.course, title="The day’s arc", minutes=45)
    builders.drill(
        cohort=cohort, site=site, lead=lead, starts_at=datetime(2027, 6, 21, 9, 0, tzinfo=UTC)
    )
    page = signed_in(phone_page)
    page.goto("/calendar/?date=2027-06-21")
    page.get_by_role("link", name="Plan a drill or a lesson").click()
    page.get_by_role("link", name="A lesson").click()
    page.get_by_label("Lesson").select_option(str(lesson.pk))
    page.get_by_label("Place in words").fill("School room")
    page.get_by_label("Start").fill("11:30")
    page.get_by_label("Start").blur()
    beside = page.locator("#conflicts")
    expect(beside).to_contain_text("Tove Lind is at")
    page.get_by_label("Start").fill("08:00")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("Nothing that can be seen from here")
    page.get_by_role("button", name="Save the planned lesson").click()
    expect(page.get_by_text("School room")).to_be_visible()
    made = PlannedLesson.objects.get()
    assert (made.minutes, made.starts_at) == (45, datetime(2027, 6, 21, 6, 0, tzinfo=UTC))
    page.get_by_role("link", name="Take attendance").click()
    page.get_by_text("present", exact=True).first.click()
    page.get_by_role("button", name="Save the marks").click()
    expect(page.get_by_text("1 mark is saved.")).to_be_visible()
    assert Attendance.objects.get().person == student
