"""A timetable asked for, kept in part, asked for again and accepted, over its page."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from coursework.models import Drill, SchoolSettings, Site
from tests import builders

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 9, 1, tzinfo=UTC)


@pytest.fixture
def cohort(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    return builders.cohort()


@pytest.fixture
def asked(client, cohort):
    lead = builders.lead(cohort)
    client.force_login(lead)
    groups = [builders.group(builders.student(cohort), cohort=cohort) for _n in range(2)]
    return {
        "first": "2026-09-22",
        "last": "2026-09-22",
        "begins": "10:00",
        "ends": "16:00",
        "minutes": "60",
        "gap": "0",
        "exercises": [builders.exercise(course=cohort.course, title="Tip line").pk],
        "groups": [group.pk for group in groups],
        "sites": [builders.site(school=lead.school).pk],
        "staff": [lead.pk],
        "lessons": "planned",
        "act": "ask",
    }


def send(client, cohort, asked, **more):
    return client.post(reverse("timetable", args=[cohort.pk]), asked | more)


def test_nothing_is_stored_until_it_is_accepted(client, cohort, asked):
    shown = send(client, cohort, asked)
    content = shown.content.decode()
    assert "2 drills are placed." in content
    assert "Best possible" in content
    assert not Drill.objects.exists()
    proposal = shown.context["proposal"]
    assert send(client, cohort, asked, act="accept", proposal=proposal).status_code == 302
    assert Drill.objects.count() == 2


def test_what_is_kept_stays_where_it_is_and_is_pinned(client, cohort, asked):
    shown = send(client, cohort, asked)
    first = shown.context["rows"][1].session
    again = send(client, cohort, asked, proposal=shown.context["proposal"], keep=["1"])
    (kept,) = [row for row in again.context["rows"] if row.kept]
    assert (kept.session.starts_at, kept.session.group) == (first.starts_at, first.group)
    proposal, number = again.context["proposal"], str(kept.number)
    send(client, cohort, asked, act="accept", proposal=proposal, keep=[number])
    assert Drill.objects.get(pinned=True).starts_at == first.starts_at
    # Asked once more, the pinned one is left alone and only the other is placed.
    third = send(client, cohort, asked)
    assert (len(third.context["rows"]), len(third.context["replaced"])) == (1, 1)


def test_a_proposal_that_was_tampered_with_or_is_of_another_question_is_not_planned(
    client, cohort, asked
):
    shown = send(client, cohort, asked)
    forged = shown.context["proposal"][:-2] + "xx"
    send(client, cohort, asked, act="accept", proposal=forged)
    elsewhere = asked | {"sites": [builders.site(school=cohort.course.school).pk]}
    other = send(client, cohort, elsewhere, act="accept", proposal=shown.context["proposal"])
    assert "Ask again" in other.content.decode()
    assert not Drill.objects.exists()


def test_what_cannot_be_placed_says_why(client, cohort, asked):
    content = send(client, cohort, asked, begins="10:00", ends="11:00").content.decode()
    assert "Could not be placed" in content


def test_where_nothing_could_be_placed_nothing_is_called_best(client, cohort, asked):
    content = send(client, cohort, asked, begins="01:00", ends="02:30").content.decode()
    assert "Nothing could be placed: change what was asked for" in content
    assert "Best possible" not in content


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"last": "2026-09-21"}, "The last day is before the first."),
        ({"last": "2026-10-06"}, "At most 14 days at a time."),
        ({"ends": "09:00"}, "The day ends before it begins."),
    ],
)
def test_what_cannot_be_asked_is_said_at_its_field(client, cohort, asked, wrong, said):
    assert said in send(client, cohort, asked, **wrong).content.decode()


def by_hand(shown, number=0, **more):
    """The fields of one session as the page shows them, some changed."""
    one = shown.context["rows"][number].session
    at = one.starts_at.astimezone(one.site.zone_info)
    fields = {
        "day": f"{at:%Y-%m-%d}",
        "clock": f"{at:%H:%M}",
        "site": one.site.pk,
        "group": one.group.pk,
        "lead": one.staff[0].pk,
    }
    named = {f"session-{name}": value for name, value in (fields | more).items()}
    return named | {"proposal": shown.context["proposal"], "editing": number, "act": "set"}


def test_a_session_is_put_by_hand_and_stays_when_asked_again(client, cohort, asked):
    shown = send(client, cohort, asked)
    form = send(client, cohort, asked, act="edit-0", proposal=shown.context["proposal"])
    assert "Put it so and keep it" in form.content.decode()
    put = send(client, cohort, asked, **by_hand(shown, clock="14:00"))
    (kept,) = [row for row in put.context["rows"] if row.kept]
    assert f"{kept.session.starts_at:%H:%M}" == "12:00"  # 14:00 by the clock there
    assert kept.against == ()
    again = send(client, cohort, asked, keep=[str(kept.number)], proposal=put.context["proposal"])
    assert [row.session.starts_at for row in again.context["rows"] if row.kept] == [
        kept.session.starts_at
    ]
    assert len(again.context["rows"]) == 2


def test_what_speaks_against_what_was_put_by_hand_is_shown_and_taken_on_with_a_reason(
    client, cohort, asked
):
    shown = send(client, cohort, asked)
    second = shown.context["rows"][1].session
    clock = f"{second.starts_at.astimezone(second.site.zone_info):%H:%M}"
    put = send(client, cohort, asked, **by_hand(shown, clock=clock))
    against = [sentence for row in put.context["rows"] for sentence in row.against]
    assert any("at the same time" in sentence for sentence in against)
    assert any("has room for 1 drill or lesson at a time" in sentence for sentence in against)
    assert not Drill.objects.exists()
    accept = {"act": "accept", "proposal": put.context["proposal"], "keep": ["0"]}
    refused = send(client, cohort, asked, **accept)
    assert "Say why it is held all the same" in refused.content.decode()
    assert not Drill.objects.exists()
    done = send(client, cohort, asked, **accept, reason="Two ends of the meadow.")
    assert done.status_code == 302
    for drill in Drill.objects.all():
        reasons = {one.reason for one in drill.plan_exceptions.all()}
        assert reasons == {"Two ends of the meadow."}
        assert conflicts_open(client, drill) == ()


def conflicts_open(client, drill):
    return client.get(reverse("drill-detail", args=[drill.pk])).context["found"].open


def test_another_group_takes_the_hour_and_leaves_its_own(client, cohort, asked):
    shown = send(client, cohort, asked)
    first, second = (row.session for row in shown.context["rows"])
    put = send(client, cohort, asked, **by_hand(shown, group=second.group.pk))
    groups = [row.session.group for row in put.context["rows"]]
    assert groups == [second.group, first.group]
    assert all(row.kept for row in put.context["rows"])


def test_a_change_by_hand_can_be_taken_back(client, cohort, asked):
    shown = send(client, cohort, asked)
    put = send(client, cohort, asked, **by_hand(shown, clock="14:00"))
    back = send(
        client,
        cohort,
        asked,
        act="undo",
        proposal=put.context["proposal"],
        before=put.context["before"],
    )
    assert [row.session for row in back.context["rows"]] == [
        row.session for row in shown.context["rows"]
    ]
    assert back.context["before"] == []
    assert "Best possible" in back.content.decode()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"day": "2026-09-23"}, "The timetable is for other days."),
        ({"clock": "25:00"}, "Enter a valid time."),
        ({"lead": "0"}, "Select a valid choice."),
    ],
)
def test_what_cannot_be_put_by_hand_is_said_at_its_field(client, cohort, asked, wrong, said):
    shown = send(client, cohort, asked)
    put = send(client, cohort, asked, **by_hand(shown, **wrong))
    assert said in put.content.decode()
    assert "Nothing is changed yet" in put.content.decode()
    assert not any(row.kept for row in put.context["rows"])


@pytest.fixture
def with_lesson(cohort, asked):
    """The question with a lesson that comes before its exercise, placed along under a roof."""
    exercise = cohort.course.exercises.get()
    lesson = builders.lesson(course=cohort.course, title="The sun", minutes=60)
    exercise.lessons.add(lesson)
    return asked | {"lessons": "whole", "lesson_place": "School room"}


def test_a_lesson_under_a_roof_goes_by_the_clock_of_the_cohort_whichever_site_comes_first(
    client, cohort, with_lesson
):
    school = cohort.course.school
    far = builders.site(school=school, name="A far one", zone="Pacific/Auckland")
    near = with_lesson["sites"]
    zone = Site.objects.get(pk=near[0]).zone
    SchoolSettings.objects.update_or_create(school=school, defaults={"zone": zone})
    sites = [far.pk, *near]
    shown = send(client, cohort, with_lesson, sites=sites)
    (lesson,) = [row.session for row in shown.context["rows"] if row.session.lesson]
    assert lesson.zone == zone
    form = client.get(reverse("timetable", args=[cohort.pk])).context["form"]
    assert form.initial["sites"] == near


def test_a_lesson_put_behind_what_rests_on_it_is_said_at_once(client, cohort, with_lesson):
    shown = send(client, cohort, with_lesson)
    number, lesson = next(
        (row.number, row.session) for row in shown.context["rows"] if row.session.lesson
    )
    places = shown_places(client, cohort, with_lesson, shown, number)
    put = {
        "proposal": shown.context["proposal"],
        "editing": number,
        "act": "set",
        "reason": "Told on the way.",
        "session-day": "2026-09-22",
        "session-clock": "15:00",
        "session-site": places["School room"],
        "session-lead": lesson.staff[0].pk,
    }
    late = send(client, cohort, with_lesson, **put)
    against = {sentence for row in late.context["rows"] for sentence in row.against}
    assert "Not held with this cohort yet: The sun." in against
    # What was typed is still there.
    assert 'value="Told on the way."' in late.content.decode()


def shown_places(client, cohort, asked, shown, number):
    form = send(client, cohort, asked, act=f"edit-{number}", proposal=shown.context["proposal"])
    return {name: pk for pk, name in form.context["rows"][number].form.fields["site"].choices}


def test_a_number_of_no_session_asks_anew(client, cohort, asked):
    shown = send(client, cohort, asked)
    proposal = shown.context["proposal"]
    again = send(client, cohort, asked, act="edit-" + "9" * 5000, proposal=proposal)
    assert again.status_code == 200


def test_who_listens_is_told_whom_and_when_a_row_is_for(client, cohort, with_lesson):
    content = send(client, cohort, with_lesson).content.decode()
    assert '<span class="visually-hidden"> The sun, 10:00 CEST</span></label>' in content
    assert ", ," not in content
