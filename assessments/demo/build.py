"""Builds the invented school through the services that the pages use."""

import random
from dataclasses import replace
from datetime import datetime, time, timedelta

from django.db import transaction

from assessments.demo import PASSWORD, SCHOOL, people, places, safety, staff
from assessments.demo.calendar import OUTINGS, Outing
from assessments.demo.certification import certify
from assessments.demo.field import FieldDay, Go
from assessments.demo.lessons import add_lessons, move_on, take_attendance
from assessments.demo.today import plan_today
from assessments.demo.travel import TravelDay
from assessments.demo.week import plan_week
from assessments.models import Attempt
from assessments.observations import Observation
from assessments.services import Entry, correct_attempt, record_attempts
from coursework.models import (
    Cohort,
    Course,
    Drill,
    Exercise,
    Instrument,
    Method,
    Person,
    ReferenceMark,
    Role,
    School,
    Site,
)
from coursework.services import (
    add_person,
    enrol,
    found_school,
    measure_hand,
    measure_paces,
    publish,
    start_cohort,
)

# One in so many results was typed wrongly first and put right the next day.
_MISREAD_SHARE = 0.02
_NEAR_MISS_AT = 3
_REASONS = (
    "The reading had been taken from the wrong row of the paper log.",
    "The reading of the next student in the row had been entered.",
)


def is_built() -> bool:
    return School.objects.filter(name=SCHOOL).exists()


@transaction.atomic
def build(address: str) -> None:
    """Everything or nothing; only where the school is not there yet.

    `address` is where people outside reach the site: it is printed on certificates.
    """
    username, name = people.ADMIN
    admin = found_school(name=SCHOOL, admin_name=name, username=username, password=PASSWORD)
    sites = [_saved(Site(school=admin.school, **fields)) for fields in places.SITES]
    site_by_name = {site.name: site for site in sites}
    for site in sites:
        for mark_name, where in places.MARKS[site.name]:
            _saved(_mark(site, mark_name, where))
    for fields in places.INSTRUMENTS:
        _saved(Instrument(school=admin.school, **fields))
    safety.settle(admin)
    safety.check_instruments(admin, site_by_name[places.MEADOW])
    courses = {title: _course(admin, title) for title in places.COURSES}
    for cohort_name, (course, site, first, last) in places.COHORTS.items():
        cohort = Cohort(course=courses[course], name=cohort_name, starts_on=first, ends_on=last)
        cohort.full_clean()
        start_cohort(admin, cohort)
        _Season(admin, cohort, site_by_name[site]).run()
        take_attendance(cohort)
    plan_today(cohort, site_by_name[site])
    move_on(admin, courses)
    staff.look_after(admin)
    # After the approvals: a lapsed one speaks against a lesson out at the meadow.
    plan_week(cohort, site_by_name[site])
    certify(admin, address)


def _mark(site: Site, name: str, where: float | tuple[float, float]) -> ReferenceMark:
    mark = ReferenceMark(site=site, name=name)
    if isinstance(where, tuple):
        mark.latitude_deg, mark.longitude_deg = where
        mark.aim()
    else:
        mark.bearing_deg = where
    return mark


def _saved(thing):
    thing.full_clean()
    thing.save()
    return thing


def _course(admin: Person, title: str) -> Course:
    course = _saved(Course(school=admin.school, title=title, summary=places.COURSES[title]))
    for position, fields in enumerate(places.EXERCISES[title], start=1):
        _saved(Exercise(course=course, position=position, **fields))
    add_lessons(admin, course)
    return publish(admin, course)


class _Season:
    """One cohort's people, drills and results."""

    def __init__(self, admin: Person, cohort: Cohort, site: Site) -> None:
        self.admin, self.cohort, self.site = admin, cohort, site
        self.exercises = {exercise.title: exercise for exercise in cohort.course.exercises.all()}
        self.instruments = list(Instrument.objects.filter(school=admin.school))
        self.marks = list(site.marks.all())

    def run(self) -> None:
        assessors = [
            self._member(username, name, role)
            for username, name, role in people.INSTRUCTORS[self.cohort.name]
        ]
        students = [
            (self._student(username, name, temper), temper)
            for username, name, temper in people.STUDENTS[self.cohort.name]
        ]
        outings = OUTINGS[self.cohort.name]
        for index, outing in enumerate(outings):
            drill = self._drill(outing)
            progress = index / (len(outings) - 1)
            if drill.exercise.is_travel:
                day_out = TravelDay(drill, outing, progress=progress)
                self._record(assessors[index % len(assessors)], drill, day_out.seen(students))
                continue
            field_day = FieldDay(drill, outing, progress=progress, index=index)
            seen = field_day.observations(students, self.instruments, self.marks)
            if seen:
                safety.decide_to_go(assessors[0], drill, index)
            self._record(assessors[index % len(assessors)], drill, seen)
            if self.cohort.name == places.ALPINE_2026 and index == _NEAR_MISS_AT:
                safety.report_near_miss(*assessors, drill)

    def _member(self, username: str, name: str, role: str) -> Person:
        person = Person.objects.filter(username=username).first()
        if person is not None:
            enrol(self.admin, self.cohort, [person], role)
            return person
        return add_person(
            self.admin, self.cohort, name=name, username=username, password=PASSWORD, role=role
        )

    def _student(self, username: str, name: str, temper: people.Temper) -> Person:
        person = self._member(username, name, Role.STUDENT)
        if temper.hand_measured:
            measure_hand(self.admin, person, degrees=temper.hand_deg)
        measure_paces(self.admin, person, paces=people.paces_for_200_m(username), distance_m=200.0)
        return person

    def _drill(self, outing: Outing) -> Drill:
        starts_at = datetime.fromisoformat(outing.at).replace(tzinfo=self.site.zone_info)
        return _saved(
            Drill(
                cohort=self.cohort,
                exercise=self.exercises[outing.exercise],
                site=self.site,
                starts_at=starts_at,
                minutes=90,
                assessed=outing.assessed,
            )
        )

    def _record(self, by: Person, drill: Drill, seen: list[tuple[Go, Observation]]) -> None:
        if not seen:
            return
        # Logged in the evening; what takes until the night, on the evening of the next day.
        late = drill.exercise.method == Method.FIRST_LAST or drill.exercise.is_by_stars
        days = 1 if late else 0
        local_day = drill.starts_at.astimezone(self.site.zone_info).date()
        evening = datetime.combine(local_day, time(20, 15), tzinfo=self.site.zone_info)
        evening += timedelta(days=days)
        entries, misread = [], []
        for go, observation in seen:
            chance = random.Random(f"slip {go.key(drill)}")
            entered = observation
            if "reading_deg" in observation.columns and chance.random() < _MISREAD_SHARE:
                entered = _misread(observation)
                misread.append((len(entries), observation, chance.choice(_REASONS)))
            entries.append(
                Entry(drill=drill, student=go.student, observation=entered, key=go.key(drill))
            )
        attempts = record_attempts(by=by, entries=entries, now=evening)
        for position, observation, reason in misread:
            self._correct(by, attempts[position], observation, reason, evening)

    def _correct(
        self, by: Person, attempt: Attempt, observation: Observation, reason: str, evening: datetime
    ) -> None:
        correct_attempt(
            by=by,
            attempt=attempt,
            observation=observation,
            reason=reason,
            now=evening + timedelta(hours=14),
        )


def _misread(observation: Observation) -> Observation:
    reading = observation.columns["reading_deg"]
    wrong = str((int(float(reading)) + 90) % 360)
    return replace(observation, columns={**observation.columns, "reading_deg": wrong})
