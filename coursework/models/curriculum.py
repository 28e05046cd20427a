"""Courses, and the exercises that are judged."""

from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _


class Method(models.TextChoices):
    """The improvised methods; the values are those of the batch file's `method` column."""

    SHADOW_TIP = "shadow-tip", _("shadow-tip line")
    FIRST_LAST = "first-last", _("first and last shadow")
    EQUAL_SHADOW = "equal-shadow", _("equal shadows")
    SHORTEST_SHADOW = "shortest-shadow", _("shortest shadow")
    HANDS = "hands", _("hands above the horizon")
    WATCH = "watch", _("watch face")


class JudgedOn(models.TextChoices):
    RESULT = "result", _("the result: where the line points")
    OWN = "own", _("the student's own error: the method's part taken out")


class Rule(models.TextChoices):
    GUARDED = "guarded", _("guarded: the uncertainty of the check counts")
    PLAIN = "plain", _("plain: the uncertainty of the check is not used")


class CourseQuerySet(models.QuerySet):
    def with_numbers(self) -> Self:
        """Each with `exercise_number` and `cohort_number`."""
        # Rows that are counted lose the order of Meta.
        return self.annotate(
            exercise_number=models.Count("exercises", distinct=True),
            cohort_number=models.Count("cohorts", distinct=True),
        ).order_by(*Course._meta.ordering)


class Course(models.Model):
    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="courses")
    title = models.CharField(_("title"), max_length=120)
    summary = models.TextField(_("summary"), blank=True)

    objects = CourseQuerySet.as_manager()

    class Meta:
        verbose_name = _("course")
        verbose_name_plural = _("courses")
        ordering = ["title", "id"]
        constraints = [
            models.UniqueConstraint(fields=["school", "title"], name="course_once_a_school")
        ]

    def __str__(self) -> str:
        return self.title


class Exercise(models.Model):
    """One thing students do in the field, and the standard their line is held to."""

    course = models.ForeignKey(Course, models.CASCADE, related_name="exercises")
    position = models.PositiveSmallIntegerField(_("position"), default=1)
    title = models.CharField(_("title"), max_length=120)
    method = models.CharField(_("method"), max_length=20, choices=Method)
    task = models.TextField(_("task"), help_text=_("What the student is asked to do."))
    steps = models.TextField(
        _("performance steps"), blank=True, help_text=_("One a line; printed with boxes.")
    )
    target_deg = models.FloatField(
        _("true bearing asked for"),
        default=0.0,
        validators=[MinValueValidator(0.0), MaxValueValidator(360.0)],
        help_text=_("0 where the student is asked for north, 90 for east."),
    )
    tolerance_deg = models.FloatField(
        _("tolerance"),
        default=15.0,
        validators=[MinValueValidator(0.1), MaxValueValidator(180.0)],
        help_text=_("Degrees to either side."),
    )
    judged_on = models.CharField(
        _("judged on"), max_length=10, choices=JudgedOn, default=JudgedOn.RESULT
    )
    rule = models.CharField(_("decision rule"), max_length=10, choices=Rule, default=Rule.GUARDED)
    attempts_needed = models.PositiveSmallIntegerField(
        _("attempts needed within the standard"),
        default=3,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
    )

    class Meta:
        verbose_name = _("exercise")
        verbose_name_plural = _("exercises")
        ordering = ["course", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["course", "title"], name="exercise_once_a_course")
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def step_list(self) -> list[str]:
        """The performance steps, in order, without blank lines."""
        return [line.strip() for line in self.steps.splitlines() if line.strip()]

    @property
    def target_in_words(self) -> str:
        """The bearing asked for: 'true north', or 'the true bearing 045°'."""
        names = {0.0: _("true north"), 90.0: _("true east")}
        names |= {180.0: _("true south"), 270.0: _("true west")}
        target = self.target_deg % 360.0
        if target in names:
            return str(names[target])
        whole, _point, rest = f"{target:.1f}".partition(".")
        text = f"{whole:0>3}" if rest == "0" else f"{whole:0>3}.{rest}"
        return gettext("the true bearing %(bearing)s°") % {"bearing": text}

    @property
    def standard_in_words(self) -> list[str]:
        """The standard as sentences: how close, what is judged, by which rule, how often."""
        judged = {
            JudgedOn.RESULT: gettext("Judged is the result: where the line points."),
            JudgedOn.OWN: gettext(
                "Judged is the student's own error: the part that is the method's is taken out."
            ),
        }
        rules = {
            Rule.GUARDED: gettext(
                "The uncertainty of the check counts: a line is within the standard only where "
                "the check is sure of it, and outside only where the check is sure of that."
            ),
            Rule.PLAIN: gettext("The uncertainty of the check is not used in the verdict."),
        }
        return [
            gettext("Within %(tolerance)s° to either side of %(target)s.")
            % {"tolerance": f"{self.tolerance_deg:g}", "target": self.target_in_words},
            judged[JudgedOn(self.judged_on)],
            rules[Rule(self.rule)],
            ngettext(
                "%(number)s attempt within the standard is needed.",
                "%(number)s attempts within the standard are needed.",
                self.attempts_needed,
            )
            % {"number": self.attempts_needed},
        ]
