"""Who may see and change what of a school. Every rule of access to coursework stands here.

Roles are held cohort by cohort; a school administrator has every right within the school.
Views load objects through `get_visible` (a stranger gets 404) and then `require` the right to
change them (a reader who may not write gets 403).
"""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone

from coursework.duties import duties_of, kept_duties
from coursework.models import (
    Approval,
    Cohort,
    Contact,
    Course,
    Drill,
    Enrolment,
    Exercise,
    FollowUp,
    Group,
    Incident,
    Instrument,
    Invitation,
    Lesson,
    Person,
    PlannedLesson,
    ReferenceMark,
    Role,
    Site,
)


def get_visible(queryset: QuerySet, **lookup):
    """The one object of an already limited queryset; Http404 where there is none."""
    return get_object_or_404(queryset, **lookup)


def asked_key(text: str | None) -> int:
    """The number of a row as an address or a form gives it; -1, which no row has, for all else."""
    text = text or ""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 18 else -1


def require(condition: bool) -> None:
    """PermissionDenied unless the condition holds."""
    if not condition:
        raise PermissionDenied


def visible_cohorts(person: Person) -> QuerySet[Cohort]:
    """All of the school for its administrator, otherwise those one belongs to in any role."""
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if person.is_school_admin:
        return cohorts
    held = kept_duties(person)
    if held is not None:
        return Cohort.objects.filter(pk__in=sorted(held.cohorts))
    own = Enrolment.objects.filter(person=person).values("cohort")
    return cohorts.filter(pk__in=own)


def visible_drills(person: Person) -> QuerySet[Drill]:
    held = kept_duties(person)
    if held is not None and not person.is_school_admin:
        return Drill.objects.filter(cohort__in=sorted(held.cohorts))
    return Drill.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def visible_planned_lessons(person: Person) -> QuerySet[PlannedLesson]:
    held = kept_duties(person)
    if held is not None and not person.is_school_admin:
        return PlannedLesson.objects.filter(cohort__in=sorted(held.cohorts))
    return PlannedLesson.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def visible_courses(person: Person) -> QuerySet[Course]:
    """All of the school for instructors, for students those of cohorts, drills and lessons."""
    courses = Course.objects.filter(school=person.school_id)
    if instructs_anywhere(person):
        return courses
    taken = visible_cohorts(person).order_by().values("course")
    # After a cohort has moved on, its old drills are still of exercises of the version before.
    drilled = visible_drills(person).order_by().values("exercise__course")
    taught = visible_planned_lessons(person).order_by().values("lesson__course")
    return courses.filter(Q(pk__in=taken) | Q(pk__in=drilled) | Q(pk__in=taught))


def visible_exercises(person: Person) -> QuerySet[Exercise]:
    return Exercise.objects.filter(course__in=visible_courses(person).order_by().values("pk"))


def visible_lessons(person: Person) -> QuerySet[Lesson]:
    return Lesson.objects.filter(course__in=visible_courses(person).order_by().values("pk"))


def visible_sites(person: Person) -> QuerySet[Site]:
    """All of the school for instructors, for students those of their drills and lessons."""
    sites = Site.objects.filter(school=person.school_id)
    if instructs_anywhere(person):
        return sites
    drills = visible_drills(person).order_by().values("site")
    lessons = visible_planned_lessons(person).filter(site__isnull=False).order_by().values("site")
    return sites.filter(Q(pk__in=drills) | Q(pk__in=lessons))


def visible_instruments(person: Person) -> QuerySet[Instrument]:
    """Those of the school, for instructors."""
    if not instructs_anywhere(person):
        return Instrument.objects.none()
    return Instrument.objects.filter(school=person.school_id)


def visible_incidents(person: Person) -> QuerySet[Incident]:
    """Incidents and near misses of the school, for those who instruct there."""
    if not instructs_anywhere(person):
        return Incident.objects.none()
    return Incident.objects.filter(school=person.school_id)


def visible_follow_ups(person: Person) -> QuerySet[FollowUp]:
    return FollowUp.objects.filter(incident__in=visible_incidents(person).order_by().values("pk"))


def staff(person: Person) -> QuerySet[Person]:
    """Who instructs at the school of `person`, its administrators among them."""
    if person.school_id is None:
        return Person.objects.none()
    rows = Enrolment.objects.filter(
        role__in=(Role.LEAD, Role.ASSISTANT), cohort__course__school=person.school_id
    )
    people = Person.objects.filter(school=person.school_id, is_active=True)
    return people.filter(Q(is_school_admin=True) | Q(pk__in=rows.order_by().values("person")))


def visible_people(person: Person) -> QuerySet[Person]:
    """The people whom someone may put into a cohort: those of the school, for its arrangers."""
    if not may_arrange_school(person):
        return Person.objects.none()
    return Person.objects.filter(school=person.school_id, is_active=True)


def listed_people(person: Person) -> QuerySet[Person]:
    """Everyone of the school with or without access, for its arrangers; not those erased."""
    if not may_arrange_school(person):
        return Person.objects.none()
    return Person.objects.filter(school=person.school_id, erased_at=None)


def administered_people(person: Person) -> QuerySet[Person]:
    """Whose account someone may change: an administrator everyone's of the school.

    Accounts of the maintenance door are looked after there.
    """
    if not is_school_admin(person):
        return Person.objects.none()
    return listed_people(person).filter(is_superuser=False, is_staff=False)


def may_administer(person: Person, other: Person) -> bool:
    return administered_people(person).filter(pk=other.pk).exists()


def may_close_account(person: Person, other: Person) -> bool:
    """Close or reopen an account: administrators, never their own."""
    return person.pk != other.pk and may_administer(person, other)


def may_stop_second_step(person: Person, other: Person) -> bool:
    """One's own, and for administrators that of someone of the school."""
    return person.pk == other.pk or may_administer(person, other)


def may_erase(person: Person, other: Person) -> bool:
    return may_close_account(person, other)


def exportable_people(person: Person) -> QuerySet[Person]:
    """Whose data someone may ask for: one's own, and for administrators those of the school."""
    administered = administered_people(person).order_by().values("pk")
    return Person.objects.filter(Q(pk=person.pk) | Q(pk__in=administered))


def may_export(person: Person, other: Person) -> bool:
    return exportable_people(person).filter(pk=other.pk).exists()


def may_measure(person: Person, other: Person) -> bool:
    """One's own hand and paces; and whoever assesses in a cohort, those of the people in it."""
    of_one_school = person.school_id is not None and person.school_id == other.school_id
    if person.pk == other.pk or (of_one_school and is_school_admin(person)):
        return True
    held = Enrolment.objects.filter(cohort__course__school=person.school_id).order_by()
    assessed = held.filter(person=person, role__in=(Role.LEAD, Role.ASSISTANT)).values("cohort")
    return of_one_school and held.filter(person=other, cohort__in=assessed).exists()


def shared_contacts(person: Person, cohort: Cohort) -> QuerySet[Contact]:
    """What the students of a cohort agreed to share, for those who go out with them.

    Only leads and assistants of this very cohort: no one else, administrators neither. Read
    `shared_emergency` and `shared_medical` of each; the raw columns are nobody's but the owner's.
    """
    if not _holds(person, Role.LEAD, Role.ASSISTANT, cohort=cohort):
        return Contact.objects.none()
    students = cohort.enrolments.filter(role=Role.STUDENT).order_by().values("person")
    return Contact.objects.shared().filter(person__in=students).select_related("person")


def visible_invitations(person: Person) -> QuerySet[Invitation]:
    """Those one may revoke: administrators all of the school, leads those of their cohorts."""
    if person.school_id is None:
        return Invitation.objects.none()
    invitations = Invitation.objects.filter(school=person.school_id)
    if is_school_admin(person):
        return invitations
    led = Enrolment.objects.filter(
        person=person, role=Role.LEAD, cohort__course__school=person.school_id
    )
    return invitations.filter(Q(cohort__in=led.values("cohort")) | Q(made_by=person))


def may_invite(person: Person, cohort: Cohort | None) -> bool:
    """Into a cohort whoever arranges it, into the school its administrators."""
    return is_school_admin(person) if cohort is None else may_arrange_cohort(person, cohort)


def still_stands(invitation: Invitation) -> bool:
    """Whether whoever made an invitation could still make it."""
    maker = invitation.made_by
    if not maker.is_active or maker.school_id != invitation.school_id:
        return False
    if invitation.person_id is not None:
        return may_set_password(maker, invitation.person)
    return may_invite(maker, invitation.cohort)


def visible_approvals(person: Person) -> QuerySet[Approval]:
    """First-aid and assessor approvals of the school, for those who instruct there."""
    if not instructs_anywhere(person):
        return Approval.objects.none()
    return Approval.objects.filter(person__school=person.school_id)


def may_record_approval(person: Person, other: Person) -> bool:
    """Administrators record them for everyone of the school."""
    return is_school_admin(person) and other.school_id == person.school_id


def quiet_drills(person: Person, *, now: datetime | None = None) -> QuerySet[Drill]:
    """Assessed drills that someone takes part in as a student and that are on, or about to be.

    What would answer one at its site is hidden from its students, whatever else they are.
    """
    if _studies_nothing(person):
        return Drill.objects.none()
    studied = Enrolment.objects.filter(person=person, role=Role.STUDENT).order_by()
    drills = Drill.objects.keeping_quiet(timezone.now() if now is None else now)
    drills = drills.filter(cohort__in=studied.values("cohort"))
    taken_out = Q(groups=None) | Q(groups__students=person)
    return drills.filter(taken_out).distinct()


def quiet_drill(person: Person, site: Site, *, now: datetime | None = None) -> Drill | None:
    """The drill for which a site's sun and scores are hidden from someone; of several the last."""
    if _studies_nothing(person):
        return None
    found = quiet_drills(person, now=now).filter(site=site).select_related("exercise", "site")
    return max(found, key=lambda drill: drill.ends_at, default=None)


def _studies_nothing(person: Person) -> bool:
    """Whether that is known already; False where it would have to be asked for."""
    held = kept_duties(person)
    return held is not None and not held.studies


def require_open(person: Person, site: Site, *, now: datetime | None = None) -> None:
    """PermissionDenied, saying why and until when, while a site is hidden from someone."""
    drill = quiet_drill(person, site, now=now)
    if drill is not None:
        raise PermissionDenied(drill.quiet_words)


def visible_enrolments(person: Person) -> QuerySet[Enrolment]:
    return Enrolment.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def may_arrange_school(person: Person) -> bool:
    """Courses, sites and instruments, and starting cohorts: administrators and course leads."""
    return is_school_admin(person) or _holds(person, Role.LEAD)


def may_arrange_cohort(person: Person, cohort: Cohort) -> bool:
    """Its people, drills, lessons and itself: administrators and the leads of this cohort."""
    return _administers(person, cohort) or _holds(person, Role.LEAD, cohort=cohort)


def may_arrange(person: Person, thing) -> bool:
    """Change or remove any one thing of coursework, a person's account aside."""
    match thing:
        case Cohort():
            return may_arrange_cohort(person, thing)
        case Drill() | Enrolment() | Group() | PlannedLesson():
            return may_arrange_cohort(person, thing.cohort)
        case Exercise() | Lesson():
            school = thing.course.school_id
        case ReferenceMark():
            school = thing.site.school_id
        case Course() | Site() | Instrument():
            school = thing.school_id
        case _:
            raise TypeError(f"No rule says who arranges {thing!r}.")
    return school == person.school_id and may_arrange_school(person)


def may_assess(person: Person, cohort: Cohort) -> bool:
    """Log and correct results: those who arrange the cohort, and its assistant instructors."""
    return _administers(person, cohort) or _holds(person, Role.LEAD, Role.ASSISTANT, cohort=cohort)


def may_see_people(person: Person, cohort: Cohort) -> bool:
    """Who else is in a cohort, and how they do, is not for students."""
    return may_assess(person, cohort)


def may_decide(person: Person, drill: Drill) -> bool:
    """Go or stay: those who arrange the cohort. Who goes out with it reads the decision."""
    return may_arrange_cohort(person, drill.cohort)


def may_see_emergency_card(person: Person, drill: Drill) -> bool:
    """It has what students agreed to share: for leads and assistants of that very cohort only."""
    return _holds(person, Role.LEAD, Role.ASSISTANT, cohort=drill.cohort)


def may_close(person: Person, follow_up: FollowUp) -> bool:
    """Say that a follow-up is done: whose it is, and those who arrange the school."""
    is_of_school = follow_up.incident.school_id == person.school_id
    return is_of_school and (follow_up.person_id == person.pk or may_arrange_school(person))


def passwords_to_set(person: Person) -> QuerySet[Person]:
    """The people whom someone may give a new first password.

    Administrators everyone of the school but those of the maintenance door; a course lead only
    assistants and students of their cohorts who lead and administer nothing, since whoever sets
    a password can sign in with it.
    """
    if person.school_id is None:
        return Person.objects.none()
    people = Person.objects.filter(school=person.school_id, is_active=True)
    people = people.filter(is_superuser=False, is_staff=False).exclude(pk=person.pk)
    if is_school_admin(person):
        return people
    rows = Enrolment.objects.filter(cohort__course__school=person.school_id).order_by()
    led = rows.filter(person=person, role=Role.LEAD).values("cohort")
    theirs = people.filter(
        is_school_admin=False, pk__in=rows.filter(cohort__in=led).values("person")
    )
    return theirs.exclude(pk__in=rows.filter(role=Role.LEAD).values("person"))


def may_set_password(person: Person, other: Person) -> bool:
    return passwords_to_set(person).filter(pk=other.pk).exists()


def is_school_admin(person: Person) -> bool:
    return person.is_school_admin and person.school_id is not None


def instructs_anywhere(person: Person) -> bool:
    """Whether someone is administrator, or lead or assistant of any cohort of the school."""
    return is_school_admin(person) or _holds(person, Role.LEAD, Role.ASSISTANT)


def is_student_of(person: Person, cohort: Cohort) -> bool:
    return _holds(person, Role.STUDENT, cohort=cohort)


def _administers(person: Person, cohort: Cohort) -> bool:
    return is_school_admin(person) and cohort.course.school_id == person.school_id


def _holds(person: Person, *roles: Role, cohort: Cohort | None = None) -> bool:
    return duties_of(person).holds(*roles, cohort=cohort)
