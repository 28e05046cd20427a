"""A roster brought in: chosen, looked at, confirmed."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache

from coursework import policies, services
from coursework.csv_files import FileError
from coursework.forms.invitations import RosterConfirmForm, RosterForm
from coursework.models import Cohort
from coursework.roster import SEPARATORS, Roster, read_roster
from coursework.views.invitations import SIGN_IN_LINK_DAYS, slips_page


@never_cache
def roster_import(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    cohorts = policies.visible_cohorts(request.user).select_related("course__school")
    cohort = policies.get_visible(cohorts, pk=cohort_pk)
    policies.require(policies.may_arrange(request.user, cohort))
    if request.method == "POST" and "content" in request.POST:
        return _confirmed(request, cohort)
    form = RosterForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        content = form.cleaned_data["roster"].read()
        try:
            roster = read_roster(content)
        except FileError as error:
            form.add_error("roster", str(error))
        else:
            return _preview(request, cohort, roster, content.decode("utf-8-sig"))
    return render(request, "coursework/roster_form.html", {"cohort": cohort, "form": form})


def _preview(request, cohort: Cohort, roster: Roster, content: str) -> HttpResponse:
    plan = services.plan_roster(request.user, cohort, roster, today=timezone.localdate())
    return render(
        request,
        "coursework/roster_preview.html",
        {
            "cohort": cohort,
            "plan": plan,
            "separator": SEPARATORS[roster.separator],
            "unused": roster.unused,
            "form": RosterConfirmForm(initial={"content": content}) if plan.can_be_done else None,
        },
    )


def _confirmed(request, cohort: Cohort) -> HttpResponse:
    form = RosterConfirmForm(request.POST)
    again = redirect("roster-import", cohort.pk)
    if not form.is_valid():
        messages.error(request, _("The file did not arrive whole. Choose it again."))
        return again
    try:
        roster = read_roster(form.cleaned_data["content"].encode())
        done = services.import_roster(request.user, cohort, roster, today=timezone.localdate())
    except FileError as error:
        messages.error(request, str(error))
        return again
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        return again
    except IntegrityError:
        messages.error(
            request, _("Someone brought in the same people a moment ago. Look at the file again.")
        )
        return again
    back = reverse("cohort-detail", args=[cohort.pk])
    told = ngettext("%d role is given.", "%d roles are given.", done.role_number)
    messages.success(request, told % done.role_number)
    # Those who have no password: the ones made now, and the same ones if this was sent twice.
    usernames = [row.username for row in roster.rows]
    settable = policies.passwords_to_set(request.user).filter(username__in=usernames)
    waiting = [person for person in settable if not person.has_usable_password()]
    if missing := [one.name for one in done.new_people if one not in waiting]:
        messages.warning(
            request,
            _("An administrator of the school makes the first sign-in link of: %s.")
            % ", ".join(missing),
        )
    if not waiting:
        return redirect(back)
    links = services.invite_to_sign_in(
        request.user,
        sorted(waiting, key=lambda person: person.name),
        days=SIGN_IN_LINK_DAYS,
        asked=form.cleaned_data["asked"],
    )
    return slips_page(request, links, back=back)
