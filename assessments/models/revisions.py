"""One state of an attempt's record: what was observed, and the score it got then."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.core.validators import MaxLengthValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from assessments.observations import local_time
from coursework.models import Method, Unit
from coursework.models.methods import is_travel
from solar.bearings import wrap_deg

SCORE_FIELDS = (
    "laid_true_deg",
    "error_deg",
    "method_error_deg",
    "own_error_deg",
    "counting_error_deg",
    "correction_error_deg",
    "marking_scatter_deg",
    "expanded_uncertainty_deg",
    "sun_azimuth_deg",
    "sun_elevation_deg",
    "declination_used_deg",
)
"""The numbers of a score, by the names that the batch file and the table share."""


class Verdict(models.TextChoices):
    """The values are those of the batch file's `verdict` column."""

    WITHIN = "within", _("within")
    OUTSIDE = "outside", _("outside")
    CLOSE = "too close to call", _("too close to call")


class NoResult(models.TextChoices):
    """Why an attempt came to no result. Only giving up is the student's own doing."""

    CLOUD = "cloud", _("the sun or the stars were hidden")
    GAVE_UP = "gave up", _("the student gave up")
    SAFETY = "safety", _("stopped for safety")
    OTHER = "other", _("another reason")


class Side(models.TextChoices):
    RIGHT = "right", _("right")
    LEFT = "left", _("left")
    OVER = "over", _("over")
    UNDER = "under", _("under")


class RevisionQuerySet(models.QuerySet):
    def with_outcome(self) -> "RevisionQuerySet":
        """Each with `outcome_word`, which says what `Revision.outcome` does."""
        word = models.Case(
            models.When(no_result="", then=models.F("verdict")),
            models.When(no_result=NoResult.GAVE_UP, then=models.Value("gave up")),
            default=models.Value("no result"),
            output_field=models.CharField(),
        )
        return self.annotate(outcome_word=word)


class ToldScore:
    """What is said of a score, of whatever has its columns."""

    __slots__ = ()

    @property
    def no_result_words(self) -> str:
        """Why there is no result, in the assessor's own words where they had to be written."""
        if self.no_result == NoResult.OTHER:
            return self.remark
        return str(NoResult(self.no_result).label) if self.no_result else ""

    @property
    def is_travel(self) -> bool:
        """Whether no line was laid, so that there are no bearings but `results`."""
        return is_travel(self.method)


class Revision(ToldScore, models.Model):
    """What was observed and checked, as recorded at one moment, with the score it got then.

    `inputs` is one row of the batch format (column name to text): place, skyline, times,
    standard and check are all in it, so the score can be worked out again from this row
    alone. The stored score is never replaced; recomputing shows a difference.
    Angles are degrees; errors are positive to the right.

    `score_value` is what the standard is held against, in `score_unit`, whatever was done;
    the fields in degrees are blank where no line was laid, and `results` has the numbers then.
    With a `no_result` reason there are no numbers at all, no verdict and no drawing.
    """

    attempt = models.ForeignKey("assessments.Attempt", models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(_("revision"))
    recorded_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)
    reason = models.CharField(_("reason for the correction"), max_length=300, blank=True)

    inputs = models.JSONField()
    observed_at = models.DateTimeField(_("observed"), help_text=_("The last recorded time."))
    instrument = models.ForeignKey(
        "coursework.Instrument", models.PROTECT, null=True, blank=True, related_name="+"
    )
    facts = models.JSONField(
        default=dict,
        help_text=_(
            "Names as they stood: site, exercise, task, steps, reference mark, instrument."
        ),
    )
    steps_met = models.JSONField(default=list, blank=True)
    sky = models.CharField(_("sky"), max_length=120, blank=True)
    ground = models.CharField(_("ground"), max_length=120, blank=True)
    remark = models.TextField(_("remark"), blank=True, validators=[MaxLengthValidator(2000)])

    no_result = models.CharField(
        _("no result because"), max_length=10, choices=NoResult, blank=True
    )
    score_value = models.FloatField(
        _("score"),
        null=True,
        help_text=_("Right, over and plain sizes are positive; left and under not."),
    )
    score_unit = models.CharField(_("unit of the score"), max_length=10, choices=Unit)
    score_side = models.CharField(_("side of the score"), max_length=10, choices=Side, blank=True)
    score_expanded_u = models.FloatField(_("expanded uncertainty of the score"), null=True)
    results = models.JSONField(default=dict, blank=True)

    laid_true_deg = models.FloatField(_("laid line, true"), null=True)
    error_deg = models.FloatField(_("result error"), null=True)
    method_error_deg = models.FloatField(_("method error"), null=True)
    own_error_deg = models.FloatField(_("own error"), null=True)
    counting_error_deg = models.FloatField(_("counting error"), null=True)
    correction_error_deg = models.FloatField(_("correction error"), null=True)
    marking_scatter_deg = models.FloatField(_("marking scatter"), null=True)
    expanded_uncertainty_deg = models.FloatField(_("expanded uncertainty"), null=True)
    verdict = models.CharField(_("verdict"), max_length=20, choices=Verdict, blank=True)
    sun_azimuth_deg = models.FloatField(_("sun’s azimuth"), null=True)
    sun_elevation_deg = models.FloatField(_("sun’s elevation"), null=True)
    declination_used_deg = models.FloatField(_("declination used"), null=True)
    drawing = models.JSONField(
        blank=True,
        default=dict,
        help_text=_("Bearings and lengths of the drawing, as computed with the score."),
    )
    engine = models.CharField(_("engine"), max_length=40)
    magnetic_model = models.CharField(_("magnetic model"), max_length=40, blank=True)

    objects = RevisionQuerySet.as_manager()

    class Meta:
        verbose_name = _("revision")
        verbose_name_plural = _("revisions")
        ordering = ["attempt", "number"]
        # Few records were ever corrected: those are found without reading the others.
        indexes = [models.Index(fields=["number"])]
        constraints = [
            models.UniqueConstraint(fields=["attempt", "number"], name="revision_once_an_attempt"),
            models.CheckConstraint(
                condition=models.Q(
                    models.Q(no_result="", score_value__isnull=False) & ~models.Q(verdict=""),
                )
                | models.Q(
                    models.Q(verdict="", score_value=None, error_deg=None) & ~models.Q(no_result="")
                ),
                name="revision_has_a_score_or_a_reason_for_none",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.attempt}, revision {self.number}"

    @property
    def method(self) -> str:
        """The method as it stood (a value of `Method`)."""
        return self.inputs.get("method", "")

    @property
    def has_result(self) -> bool:
        """Whether there are numbers; otherwise `no_result` says why not."""
        return not self.no_result

    @property
    def outcome(self) -> str:
        """How it counts towards a standard (a value of `certification.facts.Outcome`)."""
        if self.no_result:
            return "gave up" if self.no_result == NoResult.GAVE_UP else "no result"
        return self.verdict

    @property
    def tolerance(self) -> float:
        """The tolerance in the unit of the score; 0 for a checklist."""
        return float(self.inputs["tolerance" if self.is_travel else "tolerance_deg"])

    @property
    def zone(self) -> ZoneInfo:
        """The time zone of the site as it stood."""
        return ZoneInfo(self.inputs["zone"])

    @property
    def local_observed_at(self) -> datetime:
        return self.observed_at.astimezone(self.zone)

    @property
    def recorded_times(self) -> list[datetime]:
        """The recorded mark times on the site's clock; none where they were computed."""
        return [
            local_time(word, self.inputs["zone"])
            for word in self.inputs["times"].split(";")
            if word
        ]

    @property
    def check_time(self) -> datetime | None:
        """When the line was checked, where that was recorded."""
        word = self.inputs["check_time"]
        return local_time(word, self.inputs["zone"]) if word else None

    @property
    def target_deg(self) -> float:
        return float(self.inputs["target_deg"] or 0.0)

    @property
    def tolerance_deg(self) -> float:
        return float(self.inputs["tolerance_deg"])

    @property
    def is_judged_on_own(self) -> bool:
        return self.inputs["judged_on"] == "own"

    @property
    def is_guarded(self) -> bool:
        return self.inputs["rule"] != "plain"

    @property
    def judged_deg(self) -> float:
        """The error that the standard is held against, degrees, positive to the right."""
        return self.own_error_deg if self.is_judged_on_own else self.error_deg

    @property
    def declared_deg(self) -> float | None:
        """The correction the student declared before the check; None where there was none."""
        word = self.inputs["student_correction_deg"]
        return float(word) if word else None

    @property
    def laying_error_deg(self) -> float | None:
        """What is left of the own error after counting and correcting; None where not split."""
        parts = [
            part_deg
            for part_deg in (self.counting_error_deg, self.correction_error_deg)
            if part_deg is not None
        ]
        return float(wrap_deg(self.own_error_deg - sum(parts))) if parts else None

    @property
    def can_show_within(self) -> bool:
        """Whether the check was fine enough for any line to be shown within the tolerance."""
        if not self.is_guarded or self.method == Method.CHECKLIST or not self.has_result:
            return True
        expanded = self.score_expanded_u if self.is_travel else self.expanded_uncertainty_deg
        return expanded < self.tolerance
