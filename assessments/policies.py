"""Who may see and do what with attempts. Each rule stands here once."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import OuterRef, Q, QuerySet, Subquery

from assessments.models import Attempt, LeadNote, Revision, SignOff
from coursework import policies as coursework_policies
from coursework.duties import Duties, kept_duties
from coursework.models import Cohort, Drill, Enrolment, Exercise, Person, Role, Site

ASSESSING_ROLES = (Role.LEAD, Role.ASSISTANT)


def assessed_cohorts(person: Person) -> QuerySet[Cohort]:
    """The cohorts in which `person` logs results: as lead or assistant, or as administrator."""
    if not person.is_authenticated or not person.is_active or person.school_id is None:
        return Cohort.objects.none()
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if person.is_school_admin:
        return cohorts
    held = kept_duties(person)
    if held is not None:
        return Cohort.objects.filter(pk__in=sorted(held.leads | held.assists))
    enrolments = Enrolment.objects.filter(person=person, role__in=ASSESSING_ROLES)
    return cohorts.filter(pk__in=enrolments.values("cohort"))


def visible_attempts(
    person: Person, *, now: datetime | None = None, duties: Duties | None = None
) -> QuerySet[Attempt]:
    """One's own, and those of the cohorts in which one logs results.

    One's own at a site where one's assessed drill is on are not there until it is over.
    Where the person's `duties` are known, the same rows are asked for in fewer steps.
    """
    if duties is None and person.is_authenticated:
        duties = kept_duties(person)
    if duties is not None and not duties.studies and not duties.arranges_all:
        if not person.is_authenticated or not person.is_active:
            return Attempt.objects.none()
        cohorts = sorted(duties.leads | duties.assists)
        return Attempt.objects.filter(Q(student=person) | Q(drill__cohort__in=cohorts))
    return open_to(person, readable_attempts(person), now=now)


def open_to(
    person: Person, attempts: QuerySet[Attempt], *, now: datetime | None = None
) -> QuerySet[Attempt]:
    """Without one's own at a site where one's assessed drill is on."""
    quiet = coursework_policies.quiet_drills(person, now=now).order_by().values("site")
    return attempts.exclude(student=person, drill__site__in=quiet)


def readable_attempts(person: Person) -> QuerySet[Attempt]:
    """As `visible_attempts`, with those that are hidden for the time being."""
    if not person.is_authenticated or not person.is_active:
        return Attempt.objects.none()
    return Attempt.objects.filter(Q(student=person) | Q(drill__cohort__in=assessed_cohorts(person)))


def get_attempt(person: Person, attempts: QuerySet[Attempt], *, key) -> Attempt:
    """One of `readable_attempts`; PermissionDenied with the reason while it is hidden."""
    attempt = coursework_policies.get_visible(attempts.select_related("drill__site"), key=key)
    if attempt.student_id == person.pk:
        coursework_policies.require_open(person, attempt.drill.site)
    return attempt


def require_own_open(person: Person, attempts: QuerySet[Attempt]) -> None:
    """PermissionDenied with the reason where some of these are one's own and hidden now."""
    own = attempts.filter(student=person).order_by().values("drill__site")
    quiet = coursework_policies.quiet_drills(person).filter(site__in=own)
    drill = quiet.select_related("exercise", "site").first()
    if drill is not None:
        raise PermissionDenied(drill.quiet_words)


def visible_corrections(person: Person) -> QuerySet[Revision]:
    """Corrections in the cohorts someone arranges, the latest first.

    Each with `outcome_before`, that of the record which it takes the place of.
    """
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if not coursework_policies.is_school_admin(person):
        led = Enrolment.objects.filter(person=person, role=Role.LEAD)
        cohorts = cohorts.filter(pk__in=led.order_by().values("cohort"))
    before = Revision.objects.filter(
        attempt=OuterRef("attempt"), number=OuterRef("number") - 1
    ).with_outcome()
    # Asked for on its own, so that a database starts there and not from every drill.
    corrected = Revision.objects.filter(number__gt=1).order_by().values("pk")
    corrections = Revision.objects.filter(pk__in=corrected, attempt__drill__cohort__in=cohorts)
    return (
        corrections.annotate(outcome_before=Subquery(before.values("outcome_word")))
        .select_related("attempt__student", "recorded_by")
        .order_by("-recorded_at", "-pk")
    )


def field_drills(person: Person) -> QuerySet[Drill]:
    """Whose field pages someone carries: those they log others' results at."""
    return Drill.objects.filter(cohort__in=assessed_cohorts(person))


def visible_notes(person: Person) -> QuerySet[LeadNote]:
    """One's own, those of the cohorts one leads, and for administrators all of the school."""
    if not person.is_authenticated or not person.is_active or person.school_id is None:
        return LeadNote.objects.none()
    notes = LeadNote.objects.filter(school=person.school_id)
    if person.is_school_admin:
        return notes
    led = Enrolment.objects.filter(person=person, role=Role.LEAD).values("cohort")
    return notes.filter(Q(noted_by=person) | Q(cohort__in=led))


def cohorts_to_settle(person: Person) -> set[int | None]:
    """The cohorts whose notes someone may settle; None stands for those of no cohort any more."""
    cohorts = assessed_cohorts(person)
    if person.is_school_admin and person.school_id is not None:
        return {None, *cohorts.values_list("pk", flat=True)}
    led = Enrolment.objects.filter(person=person, role=Role.LEAD, cohort__in=cohorts)
    return set(led.values_list("cohort", flat=True))


def may_settle(person: Person, note: LeadNote) -> bool:
    """Say that a note was dealt with: those who arrange its cohort, administrators otherwise."""
    if note.cohort is None:
        return person.is_school_admin and person.school_id == note.school_id
    return coursework_policies.may_arrange_cohort(person, note.cohort)


def may_log(person: Person, drill: Drill) -> bool:
    """Whether there is anyone whose result `person` may log at a drill.

    Leads and assistants of the cohort and the school's administrator log for its students;
    students for themselves, where nothing counts. Nobody at a drill that is cancelled.
    """
    if drill.is_cancelled:
        return False
    return _may_assess(person, drill) or may_practise(person, drill)


def may_log_for(person: Person, drill: Drill, student: Person) -> bool:
    """Others' results for those who assess; one's own on practice only."""
    if student.pk == person.pk:
        return may_practise(person, drill)
    return _may_assess(person, drill)


def may_practise(person: Person, drill: Drill) -> bool:
    """A student of the cohort, for themself, at what is not assessed."""
    if drill.assessed or drill.practised_by_id not in (None, person.pk):
        return False
    if not coursework_policies.is_student_of(person, drill.cohort):
        return False
    # Its score would answer an assessed drill that is on at the same site.
    return coursework_policies.quiet_drill(person, drill.site) is None


def _may_assess(person: Person, drill: Drill) -> bool:
    return drill.practised_by_id is None and coursework_policies.may_assess(person, drill.cohort)


def may_correct(person: Person, attempt: Attempt) -> bool:
    """As for logging: nobody corrects an assessed result of their own.

    What a student logged alone is theirs to correct; what an instructor checked is not. Once a
    skill is signed off on an attempt, only a lead of its cohort corrects it.
    """
    if attempt.student_id != person.pk:
        if is_signed(attempt):
            return coursework_policies.may_arrange_cohort(person, attempt.drill.cohort)
        return _may_assess(person, attempt.drill)
    return (
        not attempt.assessed
        and attempt.revisions.exclude(recorded_by=person).count() == 0
        and may_practise(person, attempt.drill)
    )


def is_signed(attempt: Attempt) -> bool:
    """Whether a sign-off that stands rests on an attempt."""
    return SignOff.objects.standing().filter(evidence__revision__attempt=attempt).exists()


def students_to_log(person: Person, drill: Drill) -> QuerySet[Person]:
    """Whose results `person` may log at a drill: see `may_log_for`."""
    enrolments = drill.cohort.enrolments.filter(role=Role.STUDENT)
    students = Person.objects.filter(pk__in=enrolments.values("person"))
    if not _may_assess(person, drill):
        students = students.filter(pk=person.pk)
    return students if may_practise(person, drill) else students.exclude(pk=person.pk)


def practised_cohorts(person: Person) -> QuerySet[Cohort]:
    """The cohorts whose exercises a student may practise alone, over or not."""
    studied = Enrolment.objects.filter(person=person, role=Role.STUDENT)
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    return cohorts.filter(pk__in=studied.order_by().values("cohort"))


def practice_sites(person: Person) -> QuerySet[Site]:
    """Where a student may say that they practised: any site of their school.

    One where their assessed drill is on comes back when it is over: scores would answer it.
    """
    quiet = coursework_policies.quiet_drills(person).order_by().values("site")
    return Site.objects.filter(school=person.school_id).exclude(pk__in=quiet)


def recorded_people(person: Person) -> QuerySet[Person]:
    """Whose record someone may see: their own, and that of the students of assessed cohorts."""
    if not person.is_authenticated or not person.is_active:
        return Person.objects.none()
    studying = Enrolment.objects.filter(role=Role.STUDENT, cohort__in=assessed_cohorts(person))
    return Person.objects.filter(
        Q(pk=person.pk)
        | Q(pk__in=studying.order_by().values("person"))
        | Q(pk__in=visible_attempts(person).order_by().values("student"))
    )


def may_compare_instructors(person: Person, cohort: Cohort) -> bool:
    """How the instructors' checks differ is for those who arrange the cohort."""
    return coursework_policies.may_arrange_cohort(person, cohort)


def students_of_exercise(person: Person, exercise: Exercise) -> QuerySet[Person]:
    """Whose sheet of an exercise `person` may print: their own, and their cohorts' students'."""
    enrolments = Enrolment.objects.filter(
        role=Role.STUDENT, cohort__course__lineage=exercise.course.lineage
    )
    theirs = enrolments.filter(cohort__in=assessed_cohorts(person))
    return Person.objects.filter(
        Q(pk__in=theirs.values("person"))
        | Q(pk__in=enrolments.filter(person=person).values("person"))
    )


def may_see_hours(person: Person, site: Site, *, now: datetime | None = None) -> bool:
    """What would answer a drill at a site: its planner, its sun cards, the sun's place there.

    Not for students while an assessed drill of theirs is going on there, whatever else they are.
    """
    return coursework_policies.quiet_drill(person, site, now=now) is None
