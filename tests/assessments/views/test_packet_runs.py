"""The packets of a cohort over the pages: who is ready, how far it is, the files."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assessments.certification import runs
from assessments.models import Packet, PacketRun
from coursework.models import Person
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


@pytest.fixture
def world(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    world = made.world()
    made.signed(world)
    world.client = Client()
    world.client.force_login(world.lead)
    world.start = reverse("packet-run-start", args=[world.certification.pk, world.cohort.pk])
    return world


def said(response) -> str:
    return response.content.decode()


def sent(world, **fields) -> dict:
    pk = world.student.pk
    return {f"issue_{pk}": "on", f"name_{pk}": "Świerczyńska", "paper": "a4"} | fields


def test_a_lead_sees_who_is_ready_and_who_is_not_has_them_made_and_fetches_the_files(world):
    page = said(world.client.get(world.start))
    assert "Issue to Zofia Świerczyńska" in page
    assert 'value="Świerczyńska"' in page
    assert world.fellow.name in page
    assert "Not signed off: “" in page
    page = said(world.client.post(world.start, sent(world), follow=True))
    run = PacketRun.objects.get()
    assert "Finished" in page
    assert Packet.objects.get().number_in_groups in page
    assert 'hx-trigger="every 2s"' not in page
    for name, start in (("packet-run-zip", b"PK"), ("packet-run-print", b"%PDF")):
        response = world.client.get(reverse(name, args=[run.pk]))
        assert b"".join(response.streaming_content).startswith(start)
        assert "attachment" in response["Content-Disposition"]


def test_the_address_of_the_site_is_printed_where_it_is_set(world, settings):
    settings.ADDRESS = "https://nav.school.example"
    world.client.post(world.start, sent(world))
    packet = Packet.objects.get()
    assert packet.check_address == f"https://nav.school.example/check/{packet.number}"


def test_a_family_name_that_is_none_is_told_beside_its_field_and_nothing_is_issued(world):
    wrong = {f"name_{world.student.pk}": "Nowak"}
    page = said(world.client.post(world.start, sent(world, **wrong)))
    assert "has to be part of the name on record" in page
    assert not PacketRun.objects.exists()


def test_with_nobody_ticked_there_is_nothing_to_make(world):
    page = said(world.client.post(world.start, {"paper": "a4"}))
    assert "choose somebody who is ready" in page


def test_a_name_is_text_in_the_form(world):
    Person.objects.filter(pk=world.student.pk).update(name="Zofia <b>{{ form }}</b>")
    page = said(world.client.get(world.start))
    assert "<b>" not in page
    assert "Issue to Zofia &lt;b&gt;{{ form }}&lt;/b&gt;" in page


@pytest.fixture
def waiting(world):
    """A run that no worker has taken yet."""
    world.run = runs.start_run(
        world.lead,
        world.certification,
        world.cohort,
        family_names={world.student.pk: "Świerczyńska"},
        check_address=made.CHECK,
    )
    return world


def test_a_run_that_goes_on_asks_again_by_itself_and_can_be_looked_at_without_a_script(waiting):
    page = said(waiting.client.get(waiting.run.get_absolute_url()))
    assert 'hx-trigger="every 2s"' in page
    assert "<progress" in page
    assert "Look again" in page
    assert "being made already" in said(waiting.client.get(waiting.start))


def test_a_run_of_which_nothing_is_heard_says_that_no_worker_may_be_running(waiting):
    PacketRun.objects.update(heard_at=timezone.now() - timedelta(minutes=2))
    page = said(waiting.client.get(waiting.run.get_absolute_url()))
    assert "Nothing was heard of it for a minute" in page
    assert "Let it go on…" in page


def test_a_run_is_cancelled_after_being_asked_and_goes_on_after_being_asked(waiting):
    cancel = reverse("packet-run-cancel", args=[waiting.run.pk])
    assert "Cancel this run?" in said(waiting.client.get(cancel))
    assert "Cancelled" in said(waiting.client.post(cancel, follow=True))
    assert not Packet.objects.exists()
    resume = reverse("packet-run-resume", args=[waiting.run.pk])
    assert "Let this run go on?" in said(waiting.client.get(resume))
    assert "Finished" in said(waiting.client.post(resume, follow=True))
    assert Packet.objects.count() == 1


def test_files_that_are_deleted_are_not_offered_any_more(world):
    world.client.post(world.start, sent(world))
    run = PacketRun.objects.get()
    page = said(world.client.post(reverse("packet-run-remove", args=[run.pk]), follow=True))
    assert "The files are deleted." in page
    assert "All packets (ZIP)" not in page
    assert world.client.get(reverse("packet-run-zip", args=[run.pk])).status_code == 404


def test_the_page_of_a_certification_leads_to_the_packets_of_the_cohorts_that_one_leads(world):
    page = said(world.client.get(world.certification.get_absolute_url()))
    assert world.start in page
    world.client.force_login(world.assistant)
    assert world.start not in said(world.client.get(world.certification.get_absolute_url()))
