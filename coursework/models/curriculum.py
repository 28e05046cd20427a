"""The exercises of a course, and the standard that each is held to."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.formats import get_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coursework.models.methods import (
    TOLERANCE_RANGES,
    JudgedOn,
    Method,
    Rule,
    Unit,
    is_by_stars,
    is_by_sun,
    is_travel,
    judged_choices,
    unit_of,
)
from coursework.models.parts import CoursePart


class Exercise(CoursePart):
    """One thing students do in the field, and the standard their line is held to."""

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
    tolerance = models.FloatField(
        _("tolerance"),
        default=15.0,
        validators=[MinValueValidator(0.0), MaxValueValidator(5000.0)],
        help_text=_("In the unit of the method: degrees, percent or metres."),
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
    distinct_days = models.PositiveSmallIntegerField(
        _("days they are spread over"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
        help_text=_("At least so many days; 1 where one day will do."),
    )
    forenoon_and_afternoon = models.BooleanField(
        _("forenoon and afternoon both"),
        default=False,
        help_text=_("At least one of them before and one after the sun’s noon."),
    )
    distinct_assessors = models.PositiveSmallIntegerField(
        _("assessors they are seen by"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
        help_text=_("At least so many different people; 1 where one will do."),
    )
    wants_wrong_hours = models.BooleanField(
        _("held at hours when the method is wrong"),
        default=False,
        help_text=_("To teach its limits: drills at hours of a method error beyond the tolerance."),
    )

    lessons = models.ManyToManyField(
        "coursework.Lesson",
        blank=True,
        related_name="exercises",
        verbose_name=_("lessons that come before"),
    )

    class Meta(CoursePart.Meta):
        verbose_name = _("exercise")
        verbose_name_plural = _("exercises")
        constraints = [
            *CoursePart.Meta.constraints,
            models.CheckConstraint(
                condition=models.Q(distinct_days__gte=1)
                & models.Q(distinct_days__lte=models.F("attempts_needed")),
                name="exercise_days_within_attempts",
                violation_error_message=_("More days are asked for than attempts."),
            ),
            models.CheckConstraint(
                condition=models.Q(distinct_assessors__gte=1)
                & models.Q(distinct_assessors__lte=models.F("attempts_needed")),
                name="exercise_assessors_within_attempts",
                violation_error_message=_("More assessors are asked for than attempts."),
            ),
            models.CheckConstraint(
                condition=models.Q(forenoon_and_afternoon=False) | models.Q(attempts_needed__gte=2),
                name="exercise_halves_need_two_attempts",
                violation_error_message=_("Forenoon and afternoon both need two attempts."),
            ),
        ]

    def clean(self) -> None:
        """A tolerance and a judgement that the method can have; a checklist has its steps."""
        super().clean()
        faults = {}
        if self.unit in TOLERANCE_RANGES and self.tolerance is not None:
            low, high = TOLERANCE_RANGES[Unit(self.unit)]
            if not low <= self.tolerance <= high:
                words = {"low": f"{low:g}", "high": f"{high:g}", "unit": Unit(self.unit).label}
                sentence = gettext("Must be from %(low)s to %(high)s %(unit)s.")
                faults["tolerance"] = sentence % words
        if self.judged_on not in judged_choices(self.method):
            faults["judged_on"] = (
                gettext("A compass leg is judged on its bearing or on the arrival.")
                if self.method == Method.LEG
                else gettext("This method cannot be judged on that.")
            )
        if self.method == Method.CHECKLIST and not self.step_list:
            faults["steps"] = gettext("Write down the steps: they are what is judged.")
        if self.is_by_stars and self.forenoon_and_afternoon:
            faults["forenoon_and_afternoon"] = gettext("By the stars there is neither.")
        if faults:
            raise ValidationError(faults)

    @property
    def is_in_earlier_version(self) -> bool:
        """Whether a published version of the course has this exercise, by its key."""
        same = Exercise.objects.filter(key=self.key, course__published_at__isnull=False)
        return same.exclude(pk=self.pk).exists()

    @property
    def unit(self) -> str:
        """The unit of the tolerance and of the score (a value of `Unit`)."""
        return unit_of(self.method, self.judged_on)

    @property
    def is_travel(self) -> bool:
        """Whether no line is laid: distances, legs, positions and checklists."""
        return is_travel(self.method)

    @property
    def is_by_stars(self) -> bool:
        return is_by_stars(self.method)

    @property
    def is_by_sun(self) -> bool:
        return is_by_sun(self.method)

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
        mark = get_format("DECIMAL_SEPARATOR")
        text = f"{whole:0>3}" if rest == "0" else f"{whole:0>3}{mark}{rest}"
        return gettext("the true bearing %(bearing)s°") % {"bearing": text}

    @property
    def standard_in_words(self) -> list[str]:
        """The standard as sentences: how close, what is judged, by which rule, how often."""
        sentences = [self._closeness_in_words()]
        if not self.is_travel:
            judged = {
                JudgedOn.RESULT: gettext("The result is judged: where the line points."),
                JudgedOn.OWN: gettext(
                    "The student’s own error is judged: the part that is the method’s is taken out."
                ),
            }
            sentences.append(judged[JudgedOn(self.judged_on)])
        if self.method != Method.CHECKLIST:
            sentences.append(self._rule_in_words())
        if self.wants_wrong_hours:
            sentences.append(
                gettext(
                    "It is held at hours when the method itself is off by more than the tolerance, "
                    "to teach its limits."
                )
            )
        return [*sentences, *self.evidence_in_words]

    @property
    def tolerance_in_words(self) -> str:
        """The tolerance with its unit: '15°', '5 %', '50 m'; blank for a checklist."""
        size = f"{self.tolerance:g}"
        return {Unit.DEGREES: f"{size}°", Unit.PERCENT: f"{size} %", Unit.METRES: f"{size} m"}.get(
            Unit(self.unit), ""
        )

    def _closeness_in_words(self) -> str:
        said = {"tolerance": self.tolerance_in_words, "target": self.target_in_words}
        sentences = {
            Method.PACE_COUNT: gettext(
                "Within %(tolerance)s of the measured distance, over or under."
            ),
            Method.DISTANCE: gettext(
                "Within %(tolerance)s of the measured distance, over or under."
            ),
            Method.LEG: gettext("Within %(tolerance)s of the goal on arrival."),
            Method.POSITION: gettext("Within %(tolerance)s of the true point."),
            Method.CHECKLIST: gettext("Every step has to be met."),
        }
        usual = gettext("Within %(tolerance)s to either side of %(target)s.")
        if self.method == Method.LEG and self.judged_on == JudgedOn.BEARING:
            usual = gettext("Within %(tolerance)s to either side of the bearing of the leg.")
            return usual % said
        return sentences.get(Method(self.method) if self.method else "", usual) % said

    def _rule_in_words(self) -> str:
        if self.rule == Rule.PLAIN:
            return gettext("The uncertainty of the check is not used in the verdict.")
        if self.is_travel:
            return gettext(
                "The uncertainty of the check counts: a result is within the standard only where "
                "the check is sure of it, and outside only where the check is sure of that."
            )
        return gettext(
            "The uncertainty of the check counts: a line is within the standard only where "
            "the check is sure of it, and outside only where the check is sure of that."
        )

    @property
    def evidence_in_words(self) -> list[str]:
        """How many attempts are needed, spread over what, as sentences."""
        return evidence_sentences(
            attempts_needed=self.attempts_needed,
            distinct_days=self.distinct_days,
            forenoon_and_afternoon=self.forenoon_and_afternoon,
            distinct_assessors=self.distinct_assessors,
        )


def evidence_sentences(
    *,
    attempts_needed: int,
    distinct_days: int,
    forenoon_and_afternoon: bool,
    distinct_assessors: int,
) -> list[str]:
    """How many attempts within a standard are needed, spread over what, as sentences."""
    needed = ngettext(
        "%(number)s attempt within the standard is needed.",
        "%(number)s attempts within the standard are needed.",
        attempts_needed,
    )
    sentences = [needed % {"number": attempts_needed}]
    if distinct_days > 1:
        days = gettext("They are on at least %(number)s different days.")
        sentences.append(days % {"number": distinct_days})
    if forenoon_and_afternoon:
        sentences.append(
            gettext("At least one of them is in the forenoon and one in the afternoon.")
        )
    if distinct_assessors > 1:
        assessors = gettext("They are checked by at least %(number)s different assessors.")
        sentences.append(assessors % {"number": distinct_assessors})
    return sentences
