"""Who may see and do what with certifications. Each rule stands here once."""

from django.db.models import Q, QuerySet

from assessments.models import Attempt, Certification, CertifiedSkill, Packet, PacketRun, SignOff
from assessments.policies import assessed_cohorts
from coursework.duties import kept_duties
from coursework.models import Cohort, Enrolment, Exercise, Person, Role
from coursework.policies import instructs_anywhere, is_school_admin, may_arrange_school


def visible_certifications(person: Person) -> QuerySet[Certification]:
    """Those of the school: published ones for everyone, drafts for those who instruct."""
    found = Certification.objects.filter(school=person.school_id)
    return found if instructs_anywhere(person) else found.published()


def may_add_certification(person: Person) -> bool:
    return may_arrange_school(person)


def may_arrange_certification(person: Person, certification: Certification) -> bool:
    return certification.school_id == person.school_id and may_arrange_school(person)


def led_cohorts(person: Person) -> QuerySet[Cohort]:
    """The cohorts that someone leads; all of the school for its administrator."""
    if not person.is_active or person.school_id is None:
        return Cohort.objects.none()
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if is_school_admin(person):
        return cohorts
    held = kept_duties(person)
    if held is not None:
        return Cohort.objects.filter(pk__in=sorted(held.leads))
    led = Enrolment.objects.filter(person=person, role=Role.LEAD)
    return cohorts.filter(pk__in=led.order_by().values("cohort"))


def assessed_students(person: Person) -> QuerySet[Person]:
    """Students of the cohorts in which someone assesses, themself left out."""
    return _students_of(assessed_cohorts(person)).exclude(pk=person.pk)


def candidates(person: Person, certification: Certification) -> QuerySet[Person]:
    """Whose standing someone may see: their own, and that of students whom they assess."""
    if certification.school_id != person.school_id:
        return Person.objects.none()
    theirs = assessed_students(person).order_by().values("pk")
    return Person.objects.filter(Q(pk=person.pk) | Q(pk__in=theirs), school=person.school_id)


def may_sign(person: Person, skill: CertifiedSkill, student: Person) -> bool:
    """Whoever assesses a cohort of the student that has the exercise; never for oneself."""
    return _may(person, skill.certification, student, [skill.exercise_key], assessed_cohorts)


def may_lead(person: Person, certification: Certification, student: Person) -> bool:
    """Accept flagged attempts, issue packets: leads of a cohort of the student, not oneself."""
    keys = certification.skills.values_list("exercise_key", flat=True)
    return _may(person, certification, student, list(keys), led_cohorts)


def may_order_repeat(person: Person, attempt: Attempt) -> bool:
    return person.pk != attempt.student_id and _leads_drill(person, attempt)


def visible_sign_offs(person: Person) -> QuerySet[SignOff]:
    theirs = assessed_students(person).order_by().values("pk")
    return SignOff.objects.filter(
        Q(student=person) | Q(student__in=theirs), skill__certification__school=person.school_id
    )


def may_withdraw_sign_off(person: Person, sign_off: SignOff) -> bool:
    """Whoever signed it, as long as they assess, and the student's leads."""
    if person.pk == sign_off.student_id or not sign_off.stands:
        return False
    if person.pk == sign_off.signed_by_id:
        return may_sign(person, sign_off.skill, sign_off.student)
    return may_lead(person, sign_off.skill.certification, sign_off.student)


def visible_packets(person: Person) -> QuerySet[Packet]:
    """One's own, and those of the students whom one assesses."""
    theirs = assessed_students(person).order_by().values("pk")
    return Packet.objects.filter(
        Q(student=person) | Q(student__in=theirs), certification__school=person.school_id
    )


def may_withdraw_packet(person: Person, packet: Packet) -> bool:
    return packet.withdrawn_at is None and may_lead(person, packet.certification, packet.student)


def packet_cohorts(person: Person, certification: Certification) -> QuerySet[Cohort]:
    """Those whose packets someone may have made together: led by them, with its exercises."""
    if certification.is_draft or certification.school_id != person.school_id:
        return Cohort.objects.none()
    keys = certification.skills.order_by().values("exercise_key")
    lineages = Exercise.objects.filter(key__in=keys, course__school=person.school_id)
    return led_cohorts(person).filter(
        course__lineage__in=lineages.order_by().values("course__lineage")
    )


def may_run_packets(person: Person, certification: Certification, cohort: Cohort) -> bool:
    return packet_cohorts(person, certification).filter(pk=cohort.pk).exists()


def run_students(person: Person, cohort: Cohort) -> QuerySet[Person]:
    """Students of the cohort, themself left out: nobody issues to themselves."""
    return _students_of(Cohort.objects.filter(pk=cohort.pk)).exclude(pk=person.pk)


def visible_runs(person: Person) -> QuerySet[PacketRun]:
    """Runs of packets: for the leads of their cohort alone."""
    return PacketRun.objects.filter(
        cohort__in=led_cohorts(person).order_by().values("pk"),
        certification__school=person.school_id,
    )


def may_see_expiry(person: Person) -> bool:
    """What lapses when, over people, is for those who instruct."""
    return instructs_anywhere(person)


def _may(person, certification, student, keys, cohorts_of) -> bool:
    if person.pk == student.pk or certification.is_draft or not person.is_active:
        return False
    if person.school_id is None or certification.school_id != person.school_id:
        return False
    lineages = Exercise.objects.filter(key__in=keys, course__school=person.school_id)
    cohorts = cohorts_of(person).filter(
        course__lineage__in=lineages.order_by().values("course__lineage")
    )
    return _students_of(cohorts).filter(pk=student.pk).exists()


def _leads_drill(person: Person, attempt: Attempt) -> bool:
    return led_cohorts(person).filter(pk=attempt.drill.cohort_id).exists()


def _students_of(cohorts: QuerySet[Cohort]) -> QuerySet[Person]:
    enrolments = Enrolment.objects.filter(
        role=Role.STUDENT, cohort__in=cohorts.order_by().values("pk")
    )
    return Person.objects.filter(pk__in=enrolments.order_by().values("person"))
