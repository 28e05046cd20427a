"""Links that let people in: made and printed, taken back, followed."""

from datetime import datetime

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from coursework import exports, policies, services
from coursework.forms.common import ConfirmForm
from coursework.forms.invitations import AskedForm, InvitationForm
from coursework.forms.people import ChosenPasswordForm, JoinForm
from coursework.listing import csv_response, wants_csv
from coursework.models import Invitation, Person, Role
from coursework.qr import qr_code
from coursework.services.invitations import Link
from coursework.views.pages import confirm_page, page_of

BACKEND = "coursework.backends.SchoolBackend"
SIGN_IN_LINK_DAYS = 14


def invitation_list(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    now = timezone.now()
    links = policies.visible_invitations(request.user).select_related(
        "cohort", "made_by", "person", "accepted_by"
    )
    if wants_csv(request):
        return csv_response("invitations", exports.INVITATIONS, links)
    return render(
        request,
        "coursework/invitation_list.html",
        {
            "may_save": True,
            "open": links.open(now),
            "page": page_of(request, links.exclude(pk__in=links.open(now).values("pk"))),
            "now": now,
        },
    )


@never_cache
def invitation_add(request: HttpRequest) -> HttpResponse:
    """Asks into what and for whom, then shows the links: the only time they can be shown."""
    policies.require(policies.may_arrange_school(request.user))
    to_school = policies.is_school_admin(request.user)
    cohorts = _arranged_cohorts(request.user)
    asked = request.GET.get("cohort", "")
    form = InvitationForm(
        request.POST or None,
        cohorts=cohorts,
        may_invite_to_school=to_school,
        initial={"into": asked} if asked else {},
    )
    if request.method == "POST" and form.is_valid():
        cleaned = form.cleaned_data
        names = ("cohort", "role", "makes_admin", "notes", "days", "asked")
        links = services.invite(request.user, **{name: cleaned[name] for name in names})
        back = reverse("cohort-detail", args=[cleaned["cohort"].pk]) if cleaned["cohort"] else None
        return slips_page(request, links, back=back or reverse("invitation-list"))
    return render(
        request,
        "coursework/form.html",
        {
            "form": form,
            "heading": _("Invite by link"),
            "intro": _(
                "Each link lets one person in, once. It works without e-mail: show it, print it "
                "with its QR code, or send it as you like."
            ),
            "submit": _("Make the links"),
            "cancel": reverse("invitation-list"),
        },
    )


def invitation_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    link = policies.get_visible(policies.visible_invitations(request.user), pk=pk)
    back = reverse("invitation-list")

    def act() -> str:
        services.revoke(request.user, link)
        return _("The link is taken back; no one can use it any more.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Take back the link for “%s”?") % link,
        explanation=_("Whoever has it can no longer use it. You can make a new one."),
        submit=_("Take it back"),
    )


@never_cache
def person_link(request: HttpRequest, pk: int) -> HttpResponse:
    """A link by which someone chooses a password: for a first time, or one forgotten."""
    people = policies.listed_people(request.user)
    person = policies.get_visible(people, pk=pk)
    policies.require(policies.may_set_password(request.user, person))
    back = reverse("person-detail", args=[pk])
    form = AskedForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        links = services.invite_to_sign_in(
            request.user,
            [person],
            days=SIGN_IN_LINK_DAYS,
            asked=form.cleaned_data["asked"],
        )
        return slips_page(request, links, back=back)
    return render(
        request,
        "coursework/form.html",
        {
            "form": form,
            "heading": _("Make a link for %s to sign in?") % person.name,
            "intro": _(
                "With it the person chooses a password of their own; you never see it. The link "
                "works once, for %d days. A password they have stays until they use it."
            )
            % SIGN_IN_LINK_DAYS,
            "submit": _("Make the link"),
            "cancel": back,
        },
    )


def slips_page(request: HttpRequest, links: list[Link], *, back: str) -> HttpResponse:
    """The slips to show or print. Nothing of them is stored: loading it again sends the form."""
    now = timezone.now()
    slips = []
    for link in links:
        address = request.build_absolute_uri(reverse("join", args=[link.token]))
        if link.invitation.is_open(now):
            slips.append({"link": link.invitation, "address": address, "code": qr_code(address)})
    context = {"slips": slips, "back": back, "school": request.user.school}
    return render(request, "coursework/invitation_slips.html", context)


@login_not_required
@never_cache
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Where a link leads: a new account, a role for the account one has, or a password."""
    now = timezone.now()
    try:
        invitation = services.look_up(token, now)
    except services.LinkClosedError as closed:
        return render(request, "coursework/join_closed.html", {"reason": closed}, status=410)
    if invitation is None:
        raise Http404
    sent = request.POST if request.method == "POST" else None
    if invitation.person_id is not None:
        form = ChosenPasswordForm(sent, person=invitation.person)
    elif request.user.is_authenticated:
        form = ConfirmForm(sent)
    else:
        form = JoinForm(sent, initial={"name": invitation.note})
    if sent is not None and form.is_valid():
        try:
            return _accept(request, token, invitation, form, now)
        except services.LinkClosedError as closed:
            return render(request, "coursework/join_closed.html", {"reason": closed}, status=410)
        except ValidationError as error:
            form.add_error(None, ValidationError(error.messages))
        except IntegrityError:
            form.add_error(None, _("Someone took this sign-in name a moment ago. Try another."))
    return render(
        request,
        "coursework/join.html",
        {
            "invitation": invitation,
            "role": Role(invitation.role).label if invitation.role else "",
            "form": form,
            "token": token,
        },
    )


def _accept(request, token: str, invitation: Invitation, form, now: datetime) -> HttpResponse:
    if invitation.person_id is not None:
        password = form.cleaned_data["password"]
        person = services.open_account(token, password=password, now=now)
    elif request.user.is_authenticated:
        person = services.join_as(token, request.user, now)
    else:
        fields = {name: form.cleaned_data[name] for name in ("name", "username", "password")}
        person = services.join_new(token, **fields, now=now)
    if request.user.pk != person.pk or invitation.person_id is not None:
        # A session is bound to the password: a new one needs a new session.
        login(request, person, backend=BACKEND)
    messages.success(request, _("Welcome, %s.") % person.name)
    if invitation.cohort_id is not None:
        return redirect("cohort-detail", invitation.cohort_id)
    return redirect("home")


def _arranged_cohorts(person: Person):
    """Those into which someone may invite, the ones that are over last."""
    cohorts = policies.visible_cohorts(person).select_related("course")
    if policies.is_school_admin(person):
        return cohorts
    return cohorts.filter(pk__in=policies.duties_of(person).leads)
