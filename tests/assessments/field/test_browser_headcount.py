"""Who is out and back, in a real browser."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assessments.field.headcount import who_is_out
from assessments.models import HeadcountEvent
from tests import builders
from tests.assessments.field.hand import kept, opened, sign_in, until, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_who_is_out_stands_on_top_without_signal_and_is_loud_when_overdue(device, drill):
    device.goto(f"/field/drills/{drill.pk}/#out")
    device.context.set_offline(True)
    device.get_by_label("Odd Berge").check()
    device.get_by_label("15 min").check()
    device.get_by_role("button", name="Send out").click()
    expect(device.locator(".out-strip")).to_contain_text("1 out")
    device.goto("/field/")
    expect(device.locator(".out-strip")).to_contain_text("Odd Berge due")
    device.context.set_offline(False)
    waits(device, 0)
    event = HeadcountEvent.objects.get()
    assert event.kind == "out"
    HeadcountEvent.objects.filter(pk=event.pk).update(due_at=timezone.now() - timedelta(minutes=7))
    device.reload()
    expect(device.locator(".out-strip.is-overdue")).to_contain_text("OVERDUE by 7 min")
    expect(device).to_have_title("OVERDUE: Odd Berge")


def test_a_whole_group_goes_out_and_comes_back_at_one_tap_without_signal(
    contexts, drill, live_server
):
    students = [builders.student(drill.cohort, name=name) for name in ("Liv Moe", "Ask Dal")]
    builders.group(*students, cohort=drill.cohort, name="Ravens")
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    page.goto(f"/field/drills/{drill.pk}/#out")
    context.set_offline(True)
    ravens = page.get_by_role("button", name="Ravens: 2")
    ravens.click()
    expect(ravens).to_have_attribute("aria-pressed", "true")
    page.get_by_label("Ask Dal").uncheck()
    expect(ravens).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="Send out").click()
    expect(page.locator(".out-strip")).to_contain_text("1 out")
    page.get_by_role("button", name="Ravens: 1").click()
    page.get_by_role("button", name="Send out").click()
    expect(page.locator(".out-strip")).to_contain_text("2 out")
    page.get_by_role("button", name="Ravens back: 2").click()
    expect(page.locator(".out-strip")).to_contain_text("Nobody noted as out")
    context.set_offline(False)
    waits(page, 0)
    noted = HeadcountEvent.objects.values_list("kind", "students")
    assert (
        sorted((kind, len(names)) for kind, names in noted) == [("back", 1)] * 2 + [("out", 1)] * 2
    )
    assert who_is_out(HeadcountEvent.objects.all()) == []


def test_whoever_is_not_in_the_groups_taken_out_is_named_apart_and_not_expected(
    contexts, drill, live_server
):
    taken = drill.cohort.enrolments.get(person__name="Odd Berge").person
    drill.groups.add(builders.group(taken, cohort=drill.cohort, name="Ravens"))
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    expect(page.get_by_role("link", name="Odd Berge")).to_contain_text("Ravens")
    expect(page.get_by_role("heading", name="Not in this drill’s groups")).to_be_visible()
    page.goto(f"/field/drills/{drill.pk}/#out")
    expect(page.get_by_text("1 of 1 should be with you.")).to_be_visible()


def test_no_device_says_all_in_without_being_up_to_date(device, contexts, drill, live_server):
    other = contexts()
    sign_in(other, drill, "runa", live_server)
    second = opened(other, drill)
    device.goto(f"/field/drills/{drill.pk}/#out")
    expect(device.get_by_text("All in, by what had reached the server")).to_be_visible()
    second.goto(f"/field/drills/{drill.pk}/#out")
    second.get_by_label("Odd Berge").check()
    second.get_by_role("button", name="Send out").click()
    waits(second, 0)
    device.reload()
    expect(device.locator(".out-strip")).to_contain_text("Odd Berge due")
    device.context.set_offline(True)
    device.get_by_role("button", name="Back: Odd Berge").click()
    expect(device.get_by_text("this device is not up to date")).to_be_visible()
    assert "All in" not in device.locator("#field-body").inner_text()
    device.context.set_offline(False)
    expect(device.get_by_text("All in, by what had reached the server")).to_be_visible()
    expect(device.get_by_text("Runa Lie")).to_be_visible()


def test_whoever_carries_no_drill_is_not_told_that_nobody_is_out(contexts, drill, live_server):
    student = drill.cohort.enrolments.get(person__name="Odd Berge").person
    HeadcountEvent.objects.create(
        drill=drill, kind="out", outing=uuid4(), students=[student.pk], device=uuid4(),
        noted_by=drill.cohort.enrolments.get(person__username="tove").person,
        noted_at=timezone.now(), due_at=timezone.now(),
    )  # fmt: skip
    context = contexts()
    sign_in(context, drill, student.username, live_server)
    page = context.new_page()
    page.goto("/field/")
    expect(page.get_by_text("whose results you log")).to_be_visible()
    expect(page.locator(".field-state")).to_be_visible()
    expect(page.locator(".out-strip")).to_have_count(0)


def test_what_to_do_when_someone_is_lost_is_one_tap_away(device, drill):
    drill.site.lost_steps = "Stop and stay.\nThree whistles."
    drill.site.rally_words = "The stone gate."
    drill.site.save()
    device.reload()
    until(device, lambda: kept(device, "days")[0]["day"]["drills"][0]["rally"] == "The stone gate.")
    device.context.set_offline(True)
    device.goto(f"/field/drills/{drill.pk}/")
    device.get_by_role("link", name="If someone is lost").click()
    expect(device.get_by_role("listitem").filter(has_text="Three whistles.")).to_be_visible()
    expect(device.get_by_text("The stone gate.")).to_be_visible()
