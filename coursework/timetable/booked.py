"""What stands in the way of a timetable: drills and planned lessons of the school."""

from datetime import datetime, timedelta

from coursework.conflicts.plan import students_by
from coursework.models import Drill, PlannedLesson
from coursework.models.bookings import Booking
from coursework.services.removal import is_held
from coursework.timetable.problem import INDOORS, Stay


def minute_of(at: datetime, origin: datetime) -> int:
    return round((at - origin).total_seconds() / 60.0)


def bookings_of(asked, first: datetime, last: datetime) -> tuple[list[Drill], list[Booking]]:
    """The drills that the answer may move; and the others and the planned lessons, which stand."""
    school = asked.cohort.course.school_id
    rows: list[Booking] = []
    for among in (
        Drill.objects.filter(site__school=school),
        PlannedLesson.objects.filter(cohort__course__school=school),
    ):
        among = among.going_ahead().between(first - timedelta(days=1), last)
        rows += among.with_places().with_people()
    chosen = {exercise.pk for exercise in asked.exercises}
    movable, standing = [], []
    for one in rows:
        day = one.local_start.date()
        may_move = (
            not one.is_lesson
            and one.cohort_id == asked.cohort.pk
            and not one.pinned
            and one.exercise_id in chosen
            and asked.hours.first <= day <= asked.hours.last
            and one.starts_at > asked.now
            and not is_held(one)
        )
        (movable if may_move else standing).append(one)
    return movable, standing


class Booked:
    """What the drills and lessons that stand take, as spans; a gap is kept after each."""

    def __init__(self, bookings: list[Booking], origin: datetime, gap: int) -> None:
        self._spans = [
            (one, (minute_of(one.starts_at, origin), minute_of(one.ends_at, origin) + gap))
            for one in bookings
        ]
        groups = {group.pk for one in bookings for group in one.groups.all()}
        cohorts = {one.cohort_id for one in bookings}
        self._of_cohort, self._of_group = students_by(cohorts, groups)

    def _taken(self, one: Booking) -> set[int]:
        groups = [self._of_group[group.pk] for group in one.groups.all()]
        return set().union(*groups) if groups else self._of_cohort[one.cohort_id]

    def of_students(self, people: frozenset[int]):
        return self._stays(lambda one: people & self._taken(one))

    def _stays(self, wanted) -> tuple[Stay, ...]:
        # From a place in words no way is known: the gap alone counts there.
        return tuple(
            Stay(*span, one.site_id or INDOORS) for one, span in self._spans if wanted(one)
        )

    def of_site(self, site: int):
        return tuple(span for one, span in self._spans if one.site_id == site)

    def in_words(self, place: str):
        """Of a place that is no site: what stands under the same words."""
        wanted = place.casefold()
        return tuple(
            span
            for one, span in self._spans
            if one.is_lesson and one.site_id is None and one.place.casefold() == wanted
        )

    def of_person(self, person: int):
        return self._stays(
            lambda one: (
                one.lead_id == person or person in {each.pk for each in one.assistants.all()}
            )
        )
