"""The form that narrows a list: there when it is asked for, and what is chosen is said."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(client):
    person = builders.administrator()
    client.force_login(person)
    return builders.site(school=person.school, name="Grey Col")


def listed(client, **query) -> str:
    return client.get(reverse("site-list"), query).content.decode()


def test_a_list_has_a_search_box_and_a_way_to_the_choices(client, site):
    page = listed(client)
    assert 'name="q"' in page
    assert 'href="?narrow=open"' in page
    assert 'name="holds"' not in page


def test_the_form_opens_by_its_address_at_the_first_choice(client, site):
    page = listed(client, narrow="open")
    assert 'name="holds"' in page
    assert "autofocus" in page


def test_the_form_stays_open_when_it_is_sent(client, site):
    page = listed(client, narrow="stays", holds="marks")
    assert '<option value="marks" selected' in page
    assert '<input type="hidden" name="narrow" value="stays">' in page
    assert "autofocus" not in page


def test_what_is_chosen_is_said_and_kept_by_a_search(client, site):
    page = listed(client, holds="no-emergency")
    assert "<dt>With</dt><dd>no emergency notes</dd>" in page
    assert '<input type="hidden" name="holds" value="no-emergency">' in page
    assert 'href="?holds=no-emergency&amp;narrow=open"' in page
    assert "Show all" in page


def test_words_that_were_looked_for_stay_in_the_box(client, site):
    page = listed(client, q="grey <col>")
    assert 'value="grey &lt;col&gt;"' in page
    assert 'href="?q=grey+%3Ccol%3E&amp;narrow=open"' in page


def test_the_empty_box_of_one_list_is_not_that_of_another(client, site):
    assert "Find a site" in listed(client)
    assert "Find a person" in client.get(reverse("person-list")).content.decode()


def test_a_choice_that_is_not_offered_opens_the_form_and_is_said_there(client, site):
    page = listed(client, holds="gold")
    assert "invalid-feedback" in page
    assert "Grey Col" in page


@pytest.mark.parametrize("query", [{}, {"narrow": "open"}, {"narrow": "stays", "q": ""}])
def test_a_list_that_is_narrowed_to_nothing_shows_everything(client, site, query):
    assert "Grey Col" in listed(client, **query)
