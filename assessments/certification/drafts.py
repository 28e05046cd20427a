"""Versions of certifications: drafted, published, changed."""

from collections.abc import Iterable
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.certification import policies
from assessments.models import Certification, CertifiedSkill
from coursework.models import Exercise, Lesson, Method, Person
from coursework.policies import require

TEXTS = ["title", "scope", "validity_months", "renewal", "change_note"]


@transaction.atomic
def save_certification(by: Person, certification: Certification) -> Certification:
    """Store a new one, or the texts of a draft."""
    require(policies.may_arrange_certification(by, certification))
    if certification.pk is None:
        certification.full_clean()
        certification.save()
    else:
        _draft(by, certification)
        certification.save(update_fields=TEXTS)
    return certification


@transaction.atomic
def save_skill(
    by: Person, skill: CertifiedSkill, exercise: Exercise, lessons: Iterable[Lesson]
) -> CertifiedSkill:
    """Add a skill to a draft, or change one; lessons are kept by key, with their titles of now."""
    certification = _draft(by, skill.certification)
    lessons = list(lessons)
    schools = {exercise.course.school_id, *(lesson.course.school_id for lesson in lessons)}
    require(schools == {certification.school_id})
    skill.exercise_key = exercise.key
    skill.is_checklist = exercise.method == Method.CHECKLIST
    skill.title = skill.title.strip() or exercise.title
    skill.lessons = [[str(lesson.key), lesson.title] for lesson in lessons]
    if skill.pk is None:
        last = certification.skills.aggregate(last=models.Max("position"))["last"] or 0
        skill.position = last + 1
    skill.full_clean()
    skill.save()
    return skill


@transaction.atomic
def remove_skill(by: Person, skill: CertifiedSkill) -> None:
    _draft(by, skill.certification)
    skill.delete()


@transaction.atomic
def publish_certification(
    by: Person, certification: Certification, *, now: datetime | None = None
) -> Certification:
    """Freeze a draft: skills can be signed off by it from now on."""
    certification = _draft(by, certification)
    if not certification.skills.exists():
        raise ValidationError(_("It has no skills yet: add what a holder must have shown."))
    certification.published_at, certification.published_by = now or timezone.now(), by
    certification.save(update_fields=["published_at", "published_by"])
    return certification


@transaction.atomic
def next_certification(by: Person, certification: Certification) -> Certification:
    """The draft of the next version, made as a copy of the newest where there is none."""
    require(policies.may_arrange_certification(by, certification))
    versions = Certification.objects.select_for_update().filter(lineage=certification.lineage)
    newest = versions.order_by("-number").first()
    if newest.is_draft:
        return newest
    skills = list(newest.skills.all())
    copy = Certification.objects.get(pk=newest.pk)
    copy.pk, copy.number = None, newest.number + 1
    copy.published_at = copy.published_by = None
    copy.change_note = ""
    copy._state.adding = True
    copy.save()
    for skill in skills:
        skill.pk, skill.certification = None, copy
        skill._state.adding = True
        skill.save()
    return copy


@transaction.atomic
def discard_draft(by: Person, certification: Certification) -> None:
    _draft(by, certification).delete()


def _draft(by: Person, certification: Certification) -> Certification:
    require(policies.may_arrange_certification(by, certification))
    locked = Certification.objects.select_for_update().get(pk=certification.pk)
    if not locked.is_draft:
        raise ValidationError(
            _("This version is published and stays as it is: make the next version instead.")
        )
    return locked
