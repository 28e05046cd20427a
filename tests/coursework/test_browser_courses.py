"""A draft put in order from the keyboard, and attendance taken on a phone."""

import pytest
from playwright.sync_api import expect

from coursework.models import Attendance
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


@pytest.fixture
def cohort():
    cohort = builders.cohort()
    builders.lead(cohort, username="tove", password=PASSWORD)
    return cohort


def sign_in(page):
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def test_a_lesson_goes_down_by_the_keyboard_and_the_key_can_be_pressed_again(desk_page, cohort):
    page = desk_page
    draft = builders.draft(school=cohort.course.school)
    for place, title in enumerate(("Sun", "Moon", "Stars"), start=1):
        builders.lesson(course=draft, title=title, position=place)
    sign_in(page)
    page.goto(f"/courses/{draft.pk}/")
    titles = page.locator("#lesson-rows .row-title")
    page.get_by_role("button", name="Move “Sun” down").focus()
    page.keyboard.press("Enter")
    expect(titles).to_have_text(["Moon", "Sun", "Stars"])
    expect(page.get_by_role("button", name="Move “Sun” down")).to_be_focused()
    page.keyboard.press("Enter")
    expect(titles).to_have_text(["Moon", "Stars", "Sun"])
    page.reload()
    expect(titles).to_have_text(["Moon", "Stars", "Sun"])


def test_attendance_is_taken_on_a_phone(phone_page, cohort):
    page = phone_page
    lesson = builders.lesson(course=cohort.course)
    here, away = builders.student(cohort, name="Ida"), builders.student(cohort, name="Jon")
    sign_in(page)
    page.goto(f"/cohorts/{cohort.pk}/lessons/{lesson.pk}/attendance/")
    page.get_by_role("group", name="Jon").get_by_text("absent").click()
    page.get_by_role("button", name="Everyone not marked was present").click()
    page.get_by_role("button", name="Save the marks").click()
    expect(page.get_by_role("status")).to_contain_text("2 marks are saved.")
    marks = dict(Attendance.objects.values_list("person", "present"))
    assert marks == {here.pk: True, away.pk: False}


def test_the_form_of_an_exercise_shows_what_its_method_has_a_use_for(desk_page, cohort):
    page = desk_page
    draft = builders.draft(school=cohort.course.school)
    sign_in(page)
    page.goto(f"/courses/{draft.pk}/exercises/new/")
    method = page.get_by_label("Method*", exact=True)
    unit = page.locator("#div_id_tolerance .input-group-text")
    method.select_option("shadow-tip")
    expect(page.get_by_role("radio", name="the result")).to_be_visible()
    expect(page.get_by_role("radio", name="on a compass leg")).to_have_count(0)
    method.select_option("compass-leg")
    expect(page.get_by_role("radio", name="on a compass leg")).to_have_count(2)
    expect(page.get_by_role("radio", name="distance from the goal")).to_be_checked()
    expect(page.locator("#id_target_deg")).to_be_hidden()
    expect(unit).to_have_text("metres")
    page.get_by_role("radio", name="bearing that was walked").check()
    expect(unit).to_have_text("degrees")
    page.get_by_label("Title*", exact=True).fill("To the ford")
    page.get_by_label("Task*", exact=True).fill("Walk to the ford by compass.")
    page.get_by_role("button", name="Save the exercise").click()
    expect(page.get_by_role("heading", name="To the ford")).to_be_visible()
    assert draft.exercises.get().judged_on == "bearing"


def test_a_move_without_an_answer_is_said_until_one_comes(browser, live_server, cohort):
    context = browser.new_context(base_url=live_server.url)
    page = context.new_page()
    draft = builders.draft(school=cohort.course.school)
    for place, title in enumerate(("Sun", "Moon"), start=1):
        builders.lesson(course=draft, title=title, position=place)
    sign_in(page)
    page.goto(f"/courses/{draft.pk}/")
    notice, down = page.get_by_role("alert"), page.get_by_role("button", name="Move “Sun” down")
    for answer, said in (
        (lambda route: route.abort(), "No usable answer came"),
        (lambda route: route.fulfill(status=503, body="busy"), "Try again in a minute"),
    ):
        page.route("**/shift/", answer)
        down.click()
        expect(notice).to_contain_text(said)
        page.unroute("**/shift/")
    down.click()
    expect(page.locator("#lesson-rows .row-title")).to_have_text(["Moon", "Sun"])
    expect(notice).to_have_count(0)
    context.close()
