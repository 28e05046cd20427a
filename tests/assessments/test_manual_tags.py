"""Links from other pages into the manual."""

import pytest
from django.template import Context, Template
from django.urls import reverse


def rendered(tag: str, **values) -> str:
    return Template("{% load manual %}" + tag).render(Context(values))


def test_a_help_link_has_the_title_of_its_page():
    found = rendered('{% help_link "verdict" %}')
    assert f'href="{reverse("manual-page", args=["verdict"])}"' in found
    assert "Manual: The check and the verdict" in found


def test_a_help_link_to_no_page_is_an_error_of_the_template():
    with pytest.raises(LookupError):
        rendered('{% help_link "nothing" %}')


def test_a_method_by_the_sun_leads_to_its_page():
    assert reverse("manual-page", args=["watch"]) in rendered('{% method_help "watch" %}')


def test_a_method_without_a_line_has_no_page():
    assert rendered('{% method_help "pace-count" %}') == ""


def test_a_label_leads_to_its_term_and_is_escaped():
    found = rendered('{% term_link "own-error" words %}', words="Own <error>")
    assert f'href="{reverse("manual-glossary")}#own-error"' in found
    assert "Own &lt;error&gt;" in found
