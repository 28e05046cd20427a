"""The corrections in the cohorts that someone leads: who changed which record, when and why."""

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import render

from assessments import exports, policies
from coursework.listing import csv_response, wants_csv
from coursework.long_lists import page_of
from coursework.policies import may_arrange_school, require


def correction_list(request: HttpRequest) -> HttpResponseBase:
    require(may_arrange_school(request.user))
    corrections = policies.visible_corrections(request.user)
    if wants_csv(request):
        rows = corrections.iterator(chunk_size=500)
        return csv_response("corrections", exports.CORRECTIONS, rows)
    page = page_of(request, corrections)
    context = {"page": page, "may_save": True}
    return render(request, "assessments/correction_list.html", context)
