"""What would have happened, and the practice corner."""

from datetime import date

import pytest
from django.urls import reverse

from assessments.records import corner, otherwise
from tests import builders
from tests.assessments import results
from tests.assessments.records import made

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision():
    drill, lead, student = made.class_of(tolerance=10.0)
    start = made.START.replace(month=6, hour=9)
    (attempt,) = made.lines(student, [2.0], drill=drill, by=lead, start=start)
    return attempt.current


def test_an_hour_later_the_own_error_stays_and_the_methods_part_is_that_of_the_hour(revision):
    later = next(one for one in otherwise.at_other_hours(revision) if "an hour later" in one.name)
    drill = revision.attempt.drill
    part = made.method_error(
        drill, {"times": "2025-06-06T10:00:00+02:00;2025-06-06T10:16:00+02:00"}
    )
    assert later.method_error_deg == pytest.approx(part, abs=1e-6)
    assert later.error_deg == pytest.approx(part + 2.0, abs=1e-4)


def test_at_the_equinox_the_same_line_is_almost_right(revision):
    other = otherwise.on_date(revision, date(2025, 3, 20))
    # At the equinoxes a shadow-tip line is about right all day (common practice, no source).
    assert abs(other.method_error_deg) < 0.5
    assert other.error_deg == pytest.approx(other.method_error_deg + 2.0, abs=1e-4)
    assert other.within
    assert "nearer than the tolerance" in otherwise.sentence(revision, other)


def test_where_the_sun_is_down_it_says_so_without_a_number(revision):
    drill, lead, student = made.class_of()
    (attempt,) = made.lines(
        student, [2.0], drill=drill, by=lead, start=made.START.replace(month=6, hour=19)
    )
    last = otherwise.at_other_hours(attempt.current)[-1]
    assert last.error_deg is None
    assert "sun" in last.refusal


def test_each_other_method_of_the_sun_is_worked_out_there(revision):
    names = [one.name for one in otherwise.by_other_methods(revision)]
    assert len(names) == 5
    assert all("hadow-tip" not in name for name in names)
    noon = next(one for one in otherwise.by_other_methods(revision) if "noon" in one.name)
    assert noon.method_error_deg == pytest.approx(0.0, abs=0.2)


def test_the_page_shows_hours_dates_and_methods(client, revision):
    client.force_login(revision.attempt.student)
    address = reverse("otherwise", args=[revision.attempt.key])
    text = client.get(address, {"day": "2025-12-21"}).content.decode()
    assert "an hour later" in text
    assert "21 December 2025" in text
    assert "Watch face" in text


def test_a_date_beyond_the_computed_years_is_an_error(client, revision):
    client.force_login(revision.attempt.student)
    address = reverse("otherwise", args=[revision.attempt.key])
    assert "1990" in client.get(address, {"day": "1700-01-01"}).content.decode()


def test_while_an_assessed_drill_of_theirs_goes_on_there_students_are_refused(client, revision):
    from django.utils import timezone

    drill = revision.attempt.drill
    drill.starts_at = timezone.now()
    drill.save()
    client.force_login(revision.attempt.student)
    assert client.get(reverse("otherwise", args=[revision.attempt.key])).status_code == 403
    asked = client.get(reverse("corner"), {"q": "abcdefghij"}).content.decode()
    assert "There is no question to ask" in asked


def test_a_question_is_the_same_whenever_it_is_loaded():
    sites = [builders.site()]
    first, again = (corner.question("abcdefghij", sites, year=2026) for _ in range(2))
    assert first == again
    assert len({corner.question(f"t{n}", sites, year=2026).at for n in range(6)}) > 3


def test_the_shadow_lies_opposite_the_sun():
    sites = [builders.site()]
    questions = [corner.question(f"t{n}", sites, year=2026) for n in range(20)]
    asked = next(one for one in questions if one.kind == corner.SHADOW)
    # The sun of the builders' site is in the south at noon: a shadow never points south then.
    azimuth, _height = corner._sun(asked.site, asked.at)
    assert asked.answer_deg == pytest.approx((azimuth + 180.0) % 360.0)
    assert corner.mark(asked, asked.answer_deg).off_deg == pytest.approx(0.0)


@pytest.mark.parametrize(("off", "words"), [(4.0, "Well judged"), (-12.0, "Fairly"), (40.0, "far")])
def test_an_answer_is_marked_with_its_side(off, words):
    sites = [builders.site()]
    asked = corner.question("abcdefghij", sites, year=2026)
    marked = corner.mark(asked, asked.answer_deg + off)
    assert marked.off_deg == pytest.approx(off)
    assert words in marked.says
    assert ("right" if off > 0 else "left") in marked.says


def test_without_a_token_the_corner_leads_to_one(client):
    client.force_login(builders.student(results.drill().cohort))
    response = client.get(reverse("corner"))
    assert response.status_code == 302
    assert "?q=" in response["Location"]
