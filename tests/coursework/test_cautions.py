"""The cautions, the same on pages and on paper."""

import pytest
from django.template.loader import render_to_string

from assessments.sheets import cautions as on_paper
from coursework import cautions


@pytest.mark.parametrize("method", ["", "shadow-tip", "hands", "watch"])
def test_the_sun_comes_first_and_local_rules_last(method):
    found = [str(caution) for caution in cautions.cautions(method)]
    assert found[0].startswith("Never look at the sun")
    assert found[-1].startswith("Local rules and licensed practice come first")


@pytest.mark.parametrize(("method", "said"), [("hands", "dazzles"), ("watch", "hour hand")])
def test_a_method_adds_its_own(method, said):
    assert any(said in str(caution) for caution in cautions.cautions(method))
    assert not any(said in str(caution) for caution in cautions.cautions())


def test_paper_and_page_say_the_same():
    page = render_to_string("coursework/cautions.html")
    for caution, printed in zip(cautions.cautions(), on_paper.cautions(""), strict=True):
        assert caution.text in page
        assert printed == f"{caution.head} {caution.text}"


def test_the_lightning_rule_has_both_thirties():
    # Common practice: 30 seconds from flash to thunder, 30 minutes after the last thunder.
    assert "within 30 seconds" in cautions.lightning_rule()
    assert "until 30 minutes after" in cautions.lightning_rule()
