"""The public list of a school's withdrawn certificates."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from assessments.certification.addresses import check_address
from assessments.certification.checking import WINDOW_S, is_too_often
from assessments.certification.keys import school_key
from assessments.certification.status_list import signed_list
from coursework.lockout import sender_of
from coursework.models import School


@login_not_required
def status_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Which certificates were withdrawn, as bits without numbers and names."""
    if is_too_often(sender_of(request)):
        return HttpResponse(status=429, headers={"Retry-After": str(WINDOW_S)})
    school = get_object_or_404(School, pk=pk)
    text = signed_list(school, check_address(request), school_key(school), now=timezone.now())
    return HttpResponse(
        text, content_type="application/vc+jwt", headers={"Cache-Control": "max-age=300"}
    )
