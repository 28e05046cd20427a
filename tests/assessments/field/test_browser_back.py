"""Results that come back from the server, and what waits, in a real browser."""

import json

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assessments.models import Attempt, LeadNote
from tests import builders
from tests.assessments import results
from tests.assessments.field.hand import log, opened, sign_in, stored, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_result_of_a_student_who_left_is_given_to_another(device, drill):
    device.context.set_offline(True)
    log(device)
    drill.cohort.enrolments.get(person__name="Sigrun Aasland").delete()
    device.context.set_offline(False)
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    expect(device.get_by_text("no longer in the drill’s cohort")).to_be_visible()
    device.get_by_label("Give it to").select_option(label="Odd Berge")
    device.get_by_role("button", name="Give it to").click()
    waits(device, 0)
    assert Attempt.objects.get().student.name == "Odd Berge"


def test_a_result_of_a_cancelled_drill_is_sent_on_purpose_or_handed_to_the_lead(device, drill):
    device.context.set_offline(True)
    log(device, told="310")
    log(device, told="320")
    drill.cancelled_at, drill.cancel_reason = timezone.now(), "thunder"
    drill.save()
    device.context.set_offline(False)
    expect(device.locator(".waiting")).to_contain_text("2 to resolve")
    device.locator(".waiting").click()
    device.get_by_role("button", name="Send it all the same").first.click()
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.get_by_role("button", name="Hand it to the lead as a note").click()
    expect(device.locator(".waiting")).not_to_contain_text("resolve")
    waits(device, 0)
    assert stored() == ["310"]
    assert ["Distance told", "320\u00a0m"] in LeadNote.objects.get().said


def test_a_side_is_told_with_its_number_and_not_without_one(contexts, live_server):
    drill = results.drill(starts_at=timezone.now())
    builders.lead(drill.cohort, name="Tove Haugland", username="tove")
    builders.student(drill.cohort, name="Sigrun Aasland")
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    context.set_offline(True)
    page.get_by_role("link", name="Sigrun Aasland").click()
    for mark, time in (("First mark", "09:30"), ("Second mark", "09:45")):
        page.get_by_role("textbox", name=mark).fill(time)
    page.get_by_label("Compass reading").fill("350")
    page.get_by_text("Correction, declination, uncertainty").click()
    page.locator("[name=declination]").fill("2.5")
    page.locator("[name=declination_side]").select_option("west")
    page.get_by_role("button", name="Keep the result").click()
    page.locator(".waiting").click()
    expect(page.get_by_text("2.5° west")).to_be_visible()
    expect(page.get_by_text("Let it be sent.")).to_be_visible()
    assert "Side" not in page.locator(".field-said").inner_text()
    assert "to the right" not in page.locator(".field-said").inner_text()


def test_a_refused_result_is_mended_beside_its_field(device):
    log(device, told="three hundred")
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    device.get_by_role("link", name="Mend it").click()
    expect(device.locator(".field-fault")).to_contain_text("“three hundred” is not a number.")
    device.get_by_label("Distance told").fill("300")
    device.get_by_role("button", name="Keep and send again").click()
    waits(device, 0)
    assert stored() == ["300"]


def test_nothing_is_discarded_but_by_a_typed_word(device):
    log(device, told="x")
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    answers = iter(["yes", "discard"])
    device.on("dialog", lambda dialog: dialog.accept(next(answers)))
    device.get_by_role("button", name="Discard…").click()
    expect(device.get_by_text("Not discarded")).to_be_visible()
    expect(device.locator(".field-line")).to_have_count(1)
    device.get_by_role("button", name="Discard…").click()
    expect(device.get_by_text("Every result noted here is stored")).to_be_visible()


def test_what_waits_is_saved_as_a_file_and_loaded_on_another_device(
    device, contexts, drill, live_server, tmp_path
):
    device.context.set_offline(True)
    log(device)
    device.locator(".waiting").click()
    with device.expect_download() as download:
        device.get_by_role("button", name="Save as a file").click()
    path = tmp_path / "saved.json"
    download.value.save_as(path)
    assert len(json.loads(path.read_text())["items"]) == 1
    other = contexts()
    sign_in(other, drill, "tove", live_server)
    second = opened(other, drill)
    second.locator(".waiting").click()
    for _ in range(2):
        second.get_by_label("Load a saved file").set_input_files(path)
        expect(second.get_by_role("status")).to_be_visible()
    waits(second, 0)
    device.context.set_offline(False)
    waits(device, 0)
    assert stored() == ["350"]
