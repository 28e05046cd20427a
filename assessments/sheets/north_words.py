"""True, grid and magnetic north in sentences: the same on pages and on paper."""

from django.utils.translation import gettext as _

from assessments.sheets import words
from coursework.norths import Norths
from coursework.wording import date_format, said_of
from solar.bearings import bearing_deg

# The bearing of the worked lines: any would do.
EXAMPLE_DEG = 100.0


def eastward(value: float, places: int = 1) -> str:
    """An angle with the side on which it lies, such as '3.1° east'; no side for none."""
    size = words.degrees(abs(value), places)
    if round(abs(value), places) == 0.0:
        return size
    return _("%s east") % size if value > 0 else _("%s west") % size


def angle_rows(norths: Norths) -> list[tuple[str, str]]:
    """The angles by name, each with its side and what is to the left or right of what."""
    rows = []
    if norths.declination_deg is not None:
        rows.append((_("Declination (magnetic from true north)"), _sided(norths.declination_deg)))
        if norths.uncertainty_deg is not None:
            u = words.degrees(norths.uncertainty_deg, 2)
            rows.append((_("Its standard uncertainty"), f"±{u}"))
        rows.append((_("Its change"), yearly_change(norths.yearly_change_deg)))
    if norths.convergence_deg is not None:
        name = _("Grid convergence (grid from true north), UTM zone %s") % norths.zone
        rows.append((name, _sided(norths.convergence_deg)))
    if norths.grid_magnetic_deg is not None:
        name = _("Grid-magnetic angle (magnetic from grid north)")
        rows.append((name, _sided(norths.grid_magnetic_deg)))
    return rows


def _sided(value: float) -> str:
    if round(abs(value), 1) == 0.0:
        return words.degrees(0.0)
    side = _("%s (right)") if value > 0 else _("%s (left)")
    return side % eastward(value)


def yearly_change(change_deg: float) -> str:
    """Such as '0.12° a year, to the east'."""
    size = words.degrees(abs(change_deg), 2)
    if round(abs(change_deg), 2) == 0.0:
        return _("less than 0.01° a year")
    return (_("%s a year, to the east") if change_deg > 0 else _("%s a year, to the west")) % size


def as_of(norths: Norths) -> str:
    """The date and the model, such as 'As of 25 November 2026, WMM-2025'."""
    day = date_format(norths.as_of, "j F Y")
    if not norths.model:
        return _("As of %s") % day
    return _("As of %(day)s, %(model)s") % {"day": day, "model": norths.model}


def warnings(norths: Norths) -> list[str]:
    """What keeps a compass from being trusted here or then."""
    found = []
    last_day = date_format(norths.last_day, "j F Y")
    field = {"field": f"{norths.horizontal_nt:.0f}"} if norths.horizontal_nt is not None else {}
    if norths.is_unusable:
        found.append(
            _(
                "A compass is unusable here: the level part of the magnetic field is "
                "%(field)s nT, below 2000 nT."
            )
            % field
        )
    elif norths.needs_caution:
        found.append(
            _(
                "Use a compass with caution here: the level part of the magnetic field is "
                "%(field)s nT, below 6000 nT."
            )
            % field
        )
    if norths.is_past_models:
        found.append(
            _(
                "The magnetic models of this program end on %s. A later date has no declination "
                "until it is brought up to date; take it from a current map."
            )
            % last_day
        )
    elif norths.declination_deg is None:
        found.append(_("No magnetic model of this program goes back to this date."))
    return found


def notes(norths: Norths) -> list[str]:
    """What is good to know and does no harm yet."""
    found = []
    if norths.ends_soon:
        found.append(
            _("The magnetic model ends on %s: have the program brought up to date before.")
            % date_format(norths.last_day, "j F Y")
        )
    if norths.convergence_deg is None:
        found.append(_("The UTM grid ends at 84° N and 80° S: no grid north here."))
    return found


def conversions(norths: Norths) -> list[str]:
    """How to turn a compass bearing into a true and a grid one, with the place's own numbers."""
    if norths.declination_deg is None or norths.is_unusable:
        return []
    found = [
        _("Magnetic to true: %(rule)s. The compass says %(from)s, so it is %(to)s true.")
        % _example(norths.declination_deg)
    ]
    if norths.grid_magnetic_deg is not None:
        found += [
            _("Magnetic to grid: %(rule)s. The compass says %(from)s, so it is %(to)s grid.")
            % _example(norths.grid_magnetic_deg),
            _("Grid to magnetic: %(rule)s. The map says %(from)s, so the compass must say %(to)s.")
            % _example(-norths.grid_magnetic_deg),
        ]
    return found


def _example(angle_deg: float) -> dict[str, str]:
    # By the angle as it is printed, so that the line can be added up by hand.
    turn = round(angle_deg, 1)
    size = words.degrees(abs(turn))
    rule = _("add %s") % size if turn >= 0 else _("subtract %s") % size
    end = words.bearing(float(bearing_deg(EXAMPLE_DEG + turn)))
    return {"rule": rule, "from": words.bearing(EXAMPLE_DEG), "to": end}


def described(norths: Norths) -> str:
    """The diagram in one text, for those who cannot see it."""
    return " ".join(f"{said_of(name, value)}." for name, value in angle_rows(norths))
