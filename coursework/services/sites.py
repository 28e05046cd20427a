"""Sites, whose marks follow when they move."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Person, Site

LEAST_MARK_M = 1.0


@transaction.atomic
def save_site(by: Person, site: Site) -> Site:
    """Store a site; the bearings of its marks with coordinates are taken anew from where it is.

    ValidationError where a mark would stand on the site itself. Results already logged keep the
    position and the bearings that they were scored with.
    """
    if site.pk is None:
        policies.require(site.school_id == by.school_id and policies.may_arrange_school(by))
    else:
        policies.require(policies.may_arrange(by, site))
    site.save()
    for mark in site.marks.exclude(latitude_deg=None):
        if mark.distance_m < LEAST_MARK_M:
            raise ValidationError(
                _("The mark “%(name)s” would stand where the site is: change the mark first."),
                params={"name": mark.name},
            )
        mark.aim()
        mark.save(update_fields=["bearing_deg"])
    return site
