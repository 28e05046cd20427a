"""What a certification asks for. A row is one version; a lineage is one certification."""

import uuid
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from assessments.certification.facts import SkillRule


class Renewal(models.TextChoices):
    """What is asked of a holder whose certificate runs out."""

    ANEW = "anew", _("every skill is shown again, by attempts made after the last issue")
    RULE = "rule", _("the rule is met on the day of renewal, whenever the attempts were made")
    NONE = "none", _("it is not renewed: the course is taken again")


class CertificationQuerySet(models.QuerySet):
    def published(self) -> Self:
        return self.filter(published_at__isnull=False)

    def one_each(self) -> Self:
        """The newest published version of each, or its draft where there is none."""
        same = self.model.objects.filter(lineage=models.OuterRef("lineage"))
        newer = same.published().filter(number__gt=models.OuterRef("number"))
        return self.filter(
            models.Q(~models.Exists(newer), published_at__isnull=False)
            | models.Q(~models.Exists(same.published()), published_at__isnull=True)
        )


class Certification(models.Model):
    """One version. Published, it is frozen; a change makes the next version."""

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="certifications")
    lineage = models.UUIDField(default=uuid.uuid4, editable=False)
    number = models.PositiveSmallIntegerField(_("version"), default=1, editable=False)
    title = models.CharField(_("title"), max_length=120)
    scope = models.TextField(
        _("scope"),
        max_length=2000,
        help_text=_("What the holder has shown, where and how, and what it does not cover."),
    )
    validity_months = models.PositiveSmallIntegerField(
        _("months it is valid"),
        default=36,
        validators=[MinValueValidator(1), MaxValueValidator(240)],
    )
    renewal = models.CharField(_("renewal"), max_length=10, choices=Renewal, default=Renewal.ANEW)
    change_note = models.TextField(_("what changed"), max_length=2000, blank=True)
    published_at = models.DateTimeField(_("published"), null=True, blank=True, editable=False)
    published_by = models.ForeignKey(
        "coursework.Person",
        models.SET_NULL,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )

    objects = CertificationQuerySet.as_manager()

    class Meta:
        verbose_name = _("certification")
        verbose_name_plural = _("certifications")
        ordering = ["title", "-number", "id"]
        constraints = [
            models.UniqueConstraint(fields=["lineage", "number"], name="certification_once"),
            models.UniqueConstraint(
                fields=["lineage"],
                condition=models.Q(published_at__isnull=True),
                name="certification_one_draft",
                violation_error_message=_("There is a draft of the next version already."),
            ),
            models.UniqueConstraint(
                fields=["school", "title", "number"], name="certification_once_a_school"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("certification-detail", args=[self.pk])

    @property
    def is_draft(self) -> bool:
        return self.published_at is None

    @property
    def version_in_words(self) -> str:
        said = gettext("draft of version %s") if self.is_draft else gettext("version %s")
        return said % self.number

    @property
    def versions(self) -> CertificationQuerySet:
        """All versions, the newest first, this one among them."""
        return Certification.objects.filter(lineage=self.lineage).order_by("-number")

    @property
    def validity_in_words(self) -> str:
        return ngettext(
            "Valid for %s month from the day of issue.",
            "Valid for %s months from the day of issue.",
            self.validity_months,
        ) % (self.validity_months)

    @property
    def renewal_in_words(self) -> str:
        return gettext("Renewal: %s.") % self.get_renewal_display()


class CertifiedSkill(models.Model):
    """One skill of a version: an exercise, by its key over course versions, and what is asked."""

    certification = models.ForeignKey(Certification, models.CASCADE, related_name="skills")
    position = models.PositiveSmallIntegerField(default=1)
    exercise_key = models.UUIDField(_("exercise"), editable=False)
    title = models.CharField(_("skill"), max_length=120)
    is_checklist = models.BooleanField(default=False, editable=False)
    within_needed = models.PositiveSmallIntegerField(
        _("attempts within the standard"),
        default=3,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
    )
    of_last = models.PositiveSmallIntegerField(
        _("of the last"),
        default=5,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
        help_text=_(
            "Assessed attempts that count, the newest. There is always such a limit: unlimited "
            "tries certify no one."
        ),
    )
    distinct_days = models.PositiveSmallIntegerField(
        _("different days"), default=1, validators=[MinValueValidator(1), MaxValueValidator(50)]
    )
    both_halves = models.BooleanField(_("in the forenoon and in the afternoon"), default=False)
    distinct_assessors = models.PositiveSmallIntegerField(
        _("different assessors"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(20)],
    )
    not_older_days = models.PositiveSmallIntegerField(
        _("not older than"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(7300)],
        help_text=_("Days; blank where the age of an attempt does not matter."),
    )
    lessons = models.JSONField(
        default=list, blank=True, editable=False, help_text=_("Pairs of key and title.")
    )

    class Meta:
        verbose_name = _("skill")
        verbose_name_plural = _("skills")
        ordering = ["certification", "position", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["certification", "exercise_key"], name="skill_once_a_certification"
            ),
            models.CheckConstraint(
                condition=models.Q(of_last__gte=models.F("within_needed")),
                name="skill_can_be_shown",
                violation_error_message=_(
                    "It asks for more attempts within the standard than it looks at."
                ),
            ),
            models.CheckConstraint(
                condition=models.Q(within_needed__gte=models.F("distinct_days"))
                & models.Q(within_needed__gte=models.F("distinct_assessors")),
                name="skill_needs_as_many_attempts_as_days_and_assessors",
                violation_error_message=_(
                    "So many days or assessors take as many attempts within the standard at least."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def rule(self) -> SkillRule:
        return SkillRule(
            within_needed=self.within_needed,
            of_last=self.of_last,
            distinct_days=self.distinct_days,
            both_halves=self.both_halves,
            distinct_assessors=self.distinct_assessors,
            not_older_days=self.not_older_days,
            lessons=tuple(title for _key, title in self.lessons),
            checklist=self.is_checklist,
        )

    @property
    def rule_in_words(self) -> list[str]:
        """Everything that is asked, one sentence a condition."""
        said = [
            ngettext(
                "%(needed)s attempt within the standard among the last %(last)s assessed ones "
                "that count.",
                "%(needed)s attempts within the standard among the last %(last)s assessed ones "
                "that count.",
                self.within_needed,
            )
            % {"needed": self.within_needed, "last": self.of_last}
        ]
        if self.distinct_days > 1:
            said.append(gettext("On at least %s different days.") % self.distinct_days)
        if self.both_halves:
            said.append(gettext("In the forenoon and in the afternoon, by the sun."))
        if self.distinct_assessors > 1:
            said.append(gettext("Checked by at least %s assessors.") % self.distinct_assessors)
        if self.not_older_days is not None:
            said.append(
                ngettext("None older than %s day.", "None older than %s days.", self.not_older_days)
                % self.not_older_days
            )
        if self.lessons:
            titles = ", ".join(title for _key, title in self.lessons)
            said.append(gettext("Lessons attended: %s.") % titles)
        return said
