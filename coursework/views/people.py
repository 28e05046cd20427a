"""People of a cohort: added, given a password, withdrawn; and what is measured of them."""

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coursework import policies, services
from coursework.forms.calibrations import HandForm, PaceForm
from coursework.forms.cohorts import EnrolForm, FirstPasswordForm, NewPersonForm
from coursework.forms.common import SearchForm
from coursework.models import Cohort, Enrolment, Person
from coursework.views.pages import confirm_page, form_page


def enrolment_add(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    """Put people who are in the school already into a cohort."""
    cohort = _arranged(request, cohort_pk)
    back = reverse("cohort-detail", args=[cohort_pk])
    people = policies.visible_people(request.user)
    search = SearchForm(request.GET, label=_("Find people of the school"))
    if search.words and request.method == "GET":
        people = people.filter(
            Q(name__icontains=search.words) | Q(username__icontains=search.words)
        )

    def save(form):
        chosen, role = form.cleaned_data["people"], form.cleaned_data["role"]
        number = len(services.enrol(request.user, cohort, chosen, role))
        told = ngettext("%d person is added.", "%d people are added.", number) % number
        return told, back

    return form_page(
        request,
        EnrolForm(request.POST or None, cohort=cohort, people=people),
        save=save,
        template="coursework/enrolment_form.html",
        heading=_("Add people to “%s”") % cohort,
        submit=_("Add them"),
        cancel=back,
        cohort=cohort,
        search=search,
        nobody=not people,
    )


def person_add(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    """Make a person who is new to the school, with a role in a cohort."""
    cohort = _arranged(request, cohort_pk)
    back = reverse("cohort-detail", args=[cohort_pk])

    def save(form):
        fields = ("name", "username", "password", "role")
        person = services.add_person(
            request.user, cohort, **{name: form.cleaned_data[name] for name in fields}
        )
        return _("%(name)s is added and signs in as “%(username)s”.") % {
            "name": person.name,
            "username": person.username,
        }, back

    return form_page(
        request,
        NewPersonForm(request.POST or None),
        save=save,
        heading=_("New person in “%s”") % cohort,
        submit=_("Add the person"),
        cancel=back,
    )


def enrolment_remove(request: HttpRequest, pk: int) -> HttpResponse:
    enrolment = _enrolment(request, pk)
    policies.require(policies.may_arrange(request.user, enrolment))
    name, cohort = enrolment.person.name, enrolment.cohort
    back = reverse("cohort-detail", args=[cohort.pk])

    def act() -> str:
        services.withdraw(request.user, enrolment)
        return _("%(name)s is no longer %(role)s in this cohort.") % {
            "name": name,
            "role": enrolment.get_role_display(),
        }

    own = enrolment.person_id == request.user.pk
    return confirm_page(
        request,
        act=act,
        cancel=back,
        # Whoever leaves may not see the cohort any more.
        done=reverse("cohort-list") if own else back,
        heading=_("Remove %(name)s as %(role)s of “%(cohort)s”?")
        % {"name": name, "role": enrolment.get_role_display(), "cohort": cohort},
        explanation=_("The account and all results stay; the role can be given again."),
        submit=_("Remove from the cohort"),
    )


def enrolment_hand(request: HttpRequest, pk: int) -> HttpResponse:
    """What the hand of someone in a cohort covers, measured by an instructor."""
    return _measure(
        request,
        pk,
        HandForm,
        services.measure_hand,
        heading=_("The hand of %s"),
        told=_("The hand of %s is saved."),
    )


def enrolment_paces(request: HttpRequest, pk: int) -> HttpResponse:
    """How many paces someone in a cohort takes for 100 m, counted before an instructor."""
    return _measure(
        request,
        pk,
        PaceForm,
        services.measure_paces,
        heading=_("The paces of %s"),
        told=_("The paces of %s are saved."),
    )


def _measure(request, pk: int, form_class, measure, *, heading: str, told: str) -> HttpResponse:
    enrolment = _enrolment(request, pk)
    policies.require(policies.may_assess(request.user, enrolment.cohort))
    person, back = enrolment.person, reverse("cohort-detail", args=[enrolment.cohort_id])

    def save(form):
        measure(request.user, person, **form.numbers)
        return told % person.name, back

    return form_page(
        request,
        form_class(request.POST or None, person=person),
        save=save,
        heading=heading % person.name,
        submit=_("Save"),
        cancel=back,
    )


def person_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Give someone who has forgotten theirs a new first password."""
    people = Person.objects.filter(
        Q(enrolments__cohort__in=policies.visible_cohorts(request.user)) | Q(pk=request.user.pk)
    ).distinct()
    person = policies.get_visible(people, pk=pk)
    policies.require(policies.may_set_password(request.user, person))

    def save(form):
        services.set_password(request.user, person, form.cleaned_data["password"])
        return _("%s has a new first password.") % person.name, reverse("cohort-list")

    return form_page(
        request,
        FirstPasswordForm(request.POST or None, person=person),
        save=save,
        heading=_("New first password for %s") % person.name,
        intro=_("The old password stops working at once, and the person is signed out."),
        submit=_("Set the password"),
        cancel=reverse("cohort-list"),
    )


def _arranged(request: HttpRequest, pk: int) -> Cohort:
    cohorts = policies.visible_cohorts(request.user).select_related("course")
    cohort = policies.get_visible(cohorts, pk=pk)
    policies.require(policies.may_arrange(request.user, cohort))
    return cohort


def _enrolment(request: HttpRequest, pk: int) -> Enrolment:
    rows = policies.visible_enrolments(request.user).select_related("person", "cohort__course")
    return policies.get_visible(rows, pk=pk)
