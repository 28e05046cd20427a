"""The manual: every link leads somewhere, every method has its page, numbers are computed."""

import re
from io import BytesIO

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from assessments.manual import contents, glossary, methods
from assessments.manual.parts import Figure, Rows, Text
from assessments.sheets import manual_sheet
from coursework.models import Method
from coursework.models.methods import is_travel
from tests import builders

PAGES = {page.name: page for page in contents.all_pages()}


@pytest.mark.parametrize("name", PAGES)
def test_every_link_inside_the_manual_leads_somewhere(name):
    known = {"page": set(PAGES), "term": {term.name for term in glossary.terms()}}
    links = [link for part in PAGES[name].build() if isinstance(part, Text) for link in part.links]
    assert [link for link in links if link[1] not in known[link[0]]] == []


@pytest.mark.parametrize("name", PAGES)
def test_no_page_shows_a_placeholder_that_was_not_filled(name):
    texts = [part.markdown for part in PAGES[name].build() if isinstance(part, Text)]
    assert not re.search(r"%\(\w+\)s|\{\w+\}|None", " ".join(texts))


def test_every_method_by_sun_or_stars_has_its_page():
    assert set(methods.ORDER) == {method for method in Method if not is_travel(method)}
    assert {method.value for method in methods.ORDER} <= set(PAGES)


@pytest.mark.parametrize("method", methods.ORDER)
def test_the_page_of_a_method_has_its_drawing_and_its_errors_in_figures(method):
    parts = PAGES[method.value].build()
    (figure,) = [part for part in parts if isinstance(part, Figure)]
    assert figure.drawing["method"] == method.value
    (table,) = [part for part in parts if isinstance(part, Rows)]
    cells = [cell for row in table.rows for cell in row[1:]]
    assert any(re.search(r"\d\.\d°", cell) for cell in cells)
    assert all(len(row) == len(table.header) for row in table.rows)


def test_terms_of_the_glossary_have_an_anchor_each_and_end_as_sentences_do():
    terms = glossary.terms()
    assert len({term.name for term in terms}) == len(terms)
    assert [term.word for term in terms if not term.meaning.endswith(".")] == []


def test_paper_has_no_links_inside_the_manual():
    assert Text("See [the split](page:split), [own error](term:own-error).").for_paper == (
        "See the split, own error."
    )


def test_neighbours_of_a_page_are_those_of_the_contents():
    before, page, after = contents.neighbours("verdict")
    assert (before.name, page.name, after.name) == ("split", "verdict", "example")


def test_the_first_page_has_none_before_it():
    assert contents.neighbours("safety")[0] is None


def test_the_whole_manual_is_one_file_with_every_page_in_its_outline():
    reader = PdfReader(BytesIO(manual_sheet.render_pdf(paper="letter", school="Windrow")))
    titles = [entry.title for entry in reader.outline]
    assert [page.title for page in PAGES.values() if page.title not in titles] == []
    assert "Glossary" in titles


def test_an_unknown_paper_is_refused():
    with pytest.raises(ValueError, match="a5"):
        manual_sheet.render_pdf(paper="a5")


@pytest.mark.django_db
def test_pages_are_shown_and_unknown_ones_are_not_found():
    client = Client()
    client.force_login(builders.person())
    page = client.get(reverse("manual-page", args=["shadow-tip"])).content.decode()
    assert 'class="drawing drawing-attempt"' in page
    assert f'href="{reverse("manual-glossary")}#own-error"' in page
    assert client.get(reverse("manual-page", args=["nothing"])).status_code == 404


@pytest.mark.django_db
def test_a_page_of_the_manual_asks_the_database_for_nothing_but_who_reads_it(
    django_assert_num_queries,
):
    client = Client()
    client.force_login(builders.person())
    client.get(reverse("manual"))
    with django_assert_num_queries(3):
        client.get(reverse("manual-page", args=["example"]))
