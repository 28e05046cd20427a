"""A lead with a phone decides whether a drill goes out."""

import pytest

from coursework.models import Aspect, Decision
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def sign_in(page, person) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill(person.username)
    page.get_by_label("Password").fill("north by shadow")
    page.get_by_role("button", name="Sign in").click()


def test_a_lead_looks_at_everything_and_decides(phone_page):
    drill = builders.drill()
    lead = builders.lead(drill.cohort, password="north by shadow")
    sign_in(phone_page, lead)
    phone_page.goto(f"/drills/{drill.pk}/")
    phone_page.get_by_role("link", name="Decide: go or stay").click()
    for aspect in Aspect.values:
        if aspect != Aspect.STAFF:
            phone_page.locator(f"#div_id_{aspect}").get_by_label("in order").check()
    phone_page.get_by_label("Go: the drill goes out").check()
    phone_page.get_by_label("Why, in a sentence").fill("Settled weather.")
    phone_page.get_by_role("button", name="Save the decision").click()
    phone_page.get_by_text("Look at this before you go.").wait_for()
    phone_page.locator(f"#div_id_{Aspect.STAFF}").get_by_label("in order").check()
    phone_page.get_by_role("button", name="Save the decision").click()
    phone_page.get_by_text("Go: the drill goes out.", exact=True).wait_for()
    assert Decision.objects.get().decided_by == lead
    wide = phone_page.evaluate("document.documentElement.scrollWidth")
    assert wide <= phone_page.viewport_size["width"]
