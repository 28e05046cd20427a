"""Instruments held against surveyed marks, and taken out of use."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Instrument, InstrumentCheck, Person, ReferenceMark, Site
from coursework.solar_words import in_words
from solar.calibration import Calibration, CalibrationError, calibrate
from solar.declination import UNUSABLE_NT, Field, declination


@transaction.atomic
def record_check(
    by: Person,
    instrument: Instrument,
    *,
    mark: ReferenceMark,
    checked_at: datetime,
    readings_deg: Sequence[float],
    resolution_deg: float,
    from_mark: ReferenceMark | None = None,
    remark: str = "",
    now: datetime | None = None,
) -> InstrumentCheck:
    """Store a check; the instrument then follows its last one.

    A compass is read towards `mark`; of a protractor the readings are angles clockwise from
    `from_mark` to `mark`. ValidationError where nothing can follow from it. The same check sent
    twice is stored once. Results already logged keep what they were scored with.
    """
    site = mark.site
    is_same_school = instrument.school_id == by.school_id == site.school_id
    policies.require(is_same_school and policies.may_arrange(by, instrument))
    instrument = Instrument.objects.select_for_update().get(pk=instrument.pk)
    if instrument.is_retired:
        raise ValidationError(_("It is retired: take it back into use before it is checked."))
    now = now or timezone.now()
    if checked_at > now:
        raise ValidationError({"clock": _("That time is still to come.")})
    readings = [float(reading) for reading in readings_deg]
    same = instrument.checks.filter(
        checked_at=checked_at, readings_deg=readings, mark_name=mark.name, checked_by=by
    ).first()
    if same is not None:
        return same
    made = InstrumentCheck(
        instrument=instrument,
        site=site,
        mark_name=mark.name,
        mark_bearing_deg=mark.bearing_deg,
        checked_at=checked_at,
        checked_on=checked_at.astimezone(site.zone_info).date(),
        readings_deg=readings,
        resolution_deg=resolution_deg,
        checked_by=by,
        remark=remark,
        recorded_at=now,
    )
    if instrument.kind == Instrument.Kind.COMPASS:
        _compare_compass(made, mark)
    else:
        _compare_protractor(made, mark, from_mark)
    made.full_clean()
    made.save()
    instrument.follow_checks()
    return made


def _compare_compass(made: InstrumentCheck, mark: ReferenceMark) -> None:
    field = _field_at(made.site, made.checked_at)
    made.declination_deg = float(field.declination_deg[0])
    made.declination_u_deg = float(field.uncertainty_deg[0])
    made.magnetic_model = str(field.model[0])
    found = _calibrated(
        made,
        true_deg=made.mark_bearing_deg - made.declination_deg,
        true_u_deg=float(np.hypot(mark.bearing_u_deg, made.declination_u_deg)),
    )
    made.correction_deg, made.correction_u_deg = found.offset_deg, found.offset_u_deg
    made.reading_u_deg = found.corrected_u_deg


def _compare_protractor(
    made: InstrumentCheck, mark: ReferenceMark, from_mark: ReferenceMark | None
) -> None:
    if from_mark is None or from_mark.site_id != made.site_id:
        raise ValidationError({"from_mark": _("Choose another mark of the same site.")})
    if from_mark.name == made.mark_name:
        raise ValidationError({"from_mark": _("An angle needs two different marks.")})
    made.from_mark_name, made.from_bearing_deg = from_mark.name, from_mark.bearing_deg
    found = _calibrated(
        made,
        true_deg=made.mark_bearing_deg - from_mark.bearing_deg,
        true_u_deg=float(np.hypot(mark.bearing_u_deg, from_mark.bearing_u_deg)),
    )
    # Angles from a protractor are used as they are read: what it is off makes them less sure.
    made.correction_deg, made.correction_u_deg = 0.0, found.offset_u_deg
    made.reading_u_deg = found.uncorrected_u_deg


def _calibrated(made: InstrumentCheck, *, true_deg: float, true_u_deg: float) -> Calibration:
    try:
        found = calibrate(
            made.readings_deg,
            true_deg=true_deg,
            true_u_deg=true_u_deg,
            resolution_deg=made.resolution_deg,
        )
    except CalibrationError as error:
        raise ValidationError({"readings": in_words(error.sentence)}) from error
    made.offset_deg, made.scatter_deg = found.offset_deg, found.scatter_deg
    return found


def _field_at(site: Site, instant: datetime) -> Field:
    field = declination(
        [instant],
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
    )
    if not field.model[0] or np.isnan(field.uncertainty_deg[0]):
        raise ValidationError(
            {"day": _("No magnetic model with known errors holds that date, so nothing follows.")}
        )
    if field.horizontal_nt[0] < UNUSABLE_NT:
        raise ValidationError(
            {"mark": _("A compass cannot be used there: the level part of the field is too weak.")}
        )
    return field


@transaction.atomic
def retire(by: Person, instrument: Instrument) -> None:
    """Take it out of use; it stays on record with everything checked with it."""
    policies.require(policies.may_arrange(by, instrument))
    instrument.retired_at = timezone.now()
    instrument.save(update_fields=["retired_at"])


@transaction.atomic
def take_back(by: Person, instrument: Instrument) -> None:
    """Back into use, as it was."""
    policies.require(policies.may_arrange(by, instrument))
    instrument.retired_at = None
    instrument.save(update_fields=["retired_at"])
