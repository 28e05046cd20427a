"""The first page of an empty installation, and that it is gone afterwards."""

import pytest
from django.urls import reverse

from coursework.models import Person, School
from tests import builders

pytestmark = pytest.mark.django_db
FIRST = {
    "code": "ABCD-EFGH-JKMN",
    "school": "Ridge School",
    "name": "Ada",
    "username": "ada",
    "password": "dry-boots-77",
    "again": "dry-boots-77",
}


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    """A data folder in which the setup code is that of `FIRST`."""
    settings.DATA_DIR = tmp_path
    (tmp_path / "setup-code").write_text("ABCD-EFGH-JKMN\n")
    return tmp_path


def test_the_first_page_of_an_empty_installation_leads_there(client):
    page = client.get(reverse("home"), follow=True)
    assert page.redirect_chain[-1][0] == reverse("found-school")
    assert "There is no school on this installation yet." in page.content.decode()


def test_the_school_is_made_and_its_administrator_signed_in(client):
    page = client.post(reverse("found-school"), FIRST, follow=True)
    person = Person.objects.get()
    assert (person.school.name, person.is_school_admin) == ("Ridge School", True)
    assert page.context["user"] == person
    assert "Setting up the school" in page.content.decode()


def test_the_code_serves_once(client, folder):
    client.post(reverse("found-school"), FIRST)
    assert not (folder / "setup-code").exists()


@pytest.mark.parametrize("code", ["", "ABCD-EFGH-JKMP", "ABCD", "ä"])
def test_a_stranger_without_the_code_takes_nothing(client, folder, code):
    page = client.post(reverse("found-school"), FIRST | {"code": code})
    assert "code" in page.context["form"].errors
    assert "ABCD-EFGH" not in page.content.decode().replace(code or "none", "")
    assert not School.objects.exists()
    assert (folder / "setup-code").exists()


@pytest.mark.parametrize("method", ["get", "post"])
def test_it_is_not_found_once_there_is_a_school(client, method):
    builders.school()
    assert getattr(client, method)(reverse("found-school"), FIRST).status_code == 404
    assert not Person.objects.exists()


def test_a_school_made_while_someone_filled_it_in_stops_it(client, monkeypatch):
    builders.school()
    # As if the page had looked a moment before the other school was there.
    from coursework.views import founding

    class Unseen:
        exists = staticmethod(lambda: False)

    monkeypatch.setattr(founding, "School", type("School", (), {"objects": Unseen}))
    page = client.post(reverse("found-school"), FIRST)
    assert "This installation has a school already." in page.content.decode()
    assert School.objects.count() == 1
    assert not Person.objects.exists()


@pytest.mark.parametrize(
    ("field", "bad"),
    [("school", ""), ("name", ""), ("username", "a b"), ("password", "short"), ("again", "x")],
)
def test_a_bad_answer_makes_no_school(client, field, bad):
    page = client.post(reverse("found-school"), FIRST | {field: bad})
    assert page.context["form"].errors
    assert not School.objects.exists()


def test_the_sign_in_page_is_itself_where_there_is_a_school(client):
    builders.school()
    assert client.get(reverse("sign-in")).status_code == 200
