"""Signing in, one's own password and profile."""

from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import services
from coursework.forms.account import PasswordForm, SignInForm
from coursework.forms.calibrations import HandForm, PaceForm
from coursework.forms.people import ContactForm
from coursework.models import Contact, School
from coursework.services import second_step
from coursework.views.pages import form_page
from coursework.views.second_step import wait_for_code

MEASUREMENTS_SHOWN = 10


class SignIn(LoginView):
    template_name = "registration/login.html"
    form_class = SignInForm
    redirect_authenticated_user = True

    def get(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        # An installation without a school has hardly anyone who could sign in.
        if not School.objects.exists():
            return redirect("found-school")
        return super().get(request, *args, **kwargs)

    def form_valid(self, form: SignInForm) -> HttpResponse:
        if second_step.asks_for_code(form.get_user()):
            return wait_for_code(self.request, form.get_user(), self.get_redirect_url())
        return super().form_valid(form)


def profile(request: HttpRequest) -> HttpResponse:
    """One's own name, roles and hand."""

    def save(form):
        services.measure_hand(request.user, request.user, **form.numbers)
        return _("Saved."), reverse("profile")

    person = request.user
    roles = person.enrolments.select_related("cohort__course")
    return form_page(
        request,
        HandForm(request.POST or None, person=person),
        save=save,
        template="coursework/profile.html",
        roles=roles,
        hands=person.hand_measurements.select_related("measured_by")[:MEASUREMENTS_SHOWN],
        paces=person.pace_measurements.select_related("measured_by")[:MEASUREMENTS_SHOWN],
        approvals=person.approvals.all(),
        contact=Contact.objects.filter(person=person).first(),
        today=timezone.localdate(),
        second_step=second_step.asks_for_code(person),
    )


def paces(request: HttpRequest) -> HttpResponse:
    """One's own paces for 100 m."""

    def save(form):
        services.measure_paces(request.user, request.user, **form.numbers)
        return _("Saved."), reverse("profile")

    return form_page(
        request,
        PaceForm(request.POST or None, person=request.user),
        save=save,
        heading=_("Your paces"),
        submit=_("Save"),
        cancel=reverse("profile"),
    )


def contact(request: HttpRequest) -> HttpResponse:
    """What one shares for an emergency, with whom, and taking it back."""

    def save(form):
        services.share_contact(request.user, **form.shared)
        return _("Saved. What you do not share is not kept."), reverse("profile")

    shared = Contact.objects.filter(person=request.user).first()
    return form_page(
        request,
        ContactForm(request.POST or None, instance=shared or Contact(person=request.user)),
        save=save,
        heading=_("In an emergency"),
        intro=_(
            "Only course leads and assistants of your own cohorts see this, for the drills you go "
            "out on with them. Nobody else does, the school’s administrator neither. You decide, "
            "and you can change your mind at any time."
        ),
        submit=_("Save"),
        cancel=reverse("profile"),
    )


def password_change(request: HttpRequest) -> HttpResponse:
    def save(form):
        form.save()
        # The session is bound to the old password: without this one would be signed out.
        update_session_auth_hash(request, form.user)
        return _("Your password is changed. Other devices are signed out."), reverse("profile")

    return form_page(
        request,
        PasswordForm(request.user, request.POST or None),
        save=save,
        heading=_("Change your password"),
        submit=_("Change the password"),
        cancel=reverse("profile"),
    )
