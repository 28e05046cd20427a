"""How a student stands to a certification, and what is decided about it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from assessments.certification import issuing, policies, signing
from assessments.certification.addresses import check_address
from assessments.certification.standing import SkillStanding, may_be_repeated, standing_of
from assessments.forms.certification import IssueForm, ReasonForm, RepeatForm, SignForm
from assessments.models import CertifiedSkill, Packet
from assessments.policies import readable_attempts, require_own_open, visible_attempts
from assessments.views.certifications import visible_certification
from coursework.models import Person
from coursework.policies import get_visible, require
from coursework.views.pages import form_page


def standing(request: HttpRequest, pk: int, student_pk: int) -> HttpResponse:
    """Every clause with its yes or no and the attempts it rests on."""
    certification = visible_certification(request, pk)
    student = get_visible(policies.candidates(request.user, certification), pk=student_pk)
    if student == request.user:
        require_own_open(request.user, readable_attempts(request.user).filter(assessed=True))
    found = standing_of(certification, student)
    may_lead = policies.may_lead(request.user, certification, student)
    context = {
        "certification": certification,
        "student": student,
        "standing": found,
        "skills": [_skill(request.user, held, student, may_lead) for held in found.skills],
        "packets": Packet.objects.filter(
            certification__lineage=certification.lineage, student=student
        ),
        "may_lead": may_lead,
        "against": issuing.reasons_against(request.user, found) if may_lead else [],
    }
    return render(request, "assessments/standing.html", context)


def _skill(by: Person, held: SkillStanding, student: Person, may_lead: bool) -> dict:
    signed = held.sign_off
    may_sign = policies.may_sign(by, held.skill, student)
    return {
        "held": held,
        "may_sign": may_sign and signed is None and held.decision.shown,
        "needs_lead": bool(held.flagged) and signed is None and may_sign and not may_lead,
        "may_withdraw": signed is not None and policies.may_withdraw_sign_off(by, signed),
        "lines": [
            (one, fact, ordered, may_lead and may_be_repeated(fact, ordered))
            for one, fact, ordered in held.lines
        ],
    }


def skill_sign(request: HttpRequest, pk: int, student_pk: int) -> HttpResponse:
    published = policies.visible_certifications(request.user).order_by().values("pk")
    skills = CertifiedSkill.objects.filter(certification__in=published)
    skill = get_visible(skills.select_related("certification__school"), pk=pk)
    student = get_visible(policies.candidates(request.user, skill.certification), pk=student_pk)
    require(policies.may_sign(request.user, skill, student))
    (held,) = standing_of(skill.certification, student, skills=[skill]).skills
    back = reverse("standing", args=[skill.certification_id, student_pk])

    def save(form):
        signing.sign_off(
            request.user,
            skill,
            student,
            flags_accepted=form.cleaned_data.get("flags_accepted", ""),
        )
        return _("“%(skill)s” is signed off for %(name)s.") % {
            "skill": skill,
            "name": student,
        }, back

    return form_page(
        request,
        SignForm(_sent(request), flagged=bool(held.flagged)),
        save=save,
        template="assessments/skill_sign.html",
        heading=_("Sign off “%(skill)s” for %(name)s?") % {"skill": skill, "name": student},
        submit=_("Sign off"),
        cancel=back,
        held=held,
        skill=skill,
        student=student,
    )


def sign_off_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    found = policies.visible_sign_offs(request.user)
    signed = get_visible(found.select_related("skill__certification", "student"), pk=pk)
    require(policies.may_withdraw_sign_off(request.user, signed))
    back = reverse("standing", args=[signed.skill.certification_id, signed.student_id])

    def save(form):
        signing.withdraw_sign_off(request.user, signed, form.cleaned_data["reason"])
        return _("The sign-off is withdrawn; the record of it stays."), back

    issued = signed.packets.filter(withdrawn_at=None)
    return form_page(
        request,
        ReasonForm(_sent(request)),
        save=save,
        heading=_("Withdraw the sign-off of “%s”?") % signed.skill,
        intro=_("It is that of %(student)s, signed by %(name)s. The reason is kept with it.")
        % {"student": signed.student.name, "name": signed.signer}
        + (
            " " + _("A certificate rests on it: look at that one too, it stays valid by itself.")
            if issued.exists()
            else ""
        ),
        submit=_("Withdraw it"),
        harmful=True,
        cancel=back,
    )


def repeat_order(request: HttpRequest, key) -> HttpResponse:
    attempts = visible_attempts(request.user).select_related(
        "student", "exercise", "current", "drill__cohort__course"
    )
    attempt = get_visible(attempts, key=key)
    require(policies.may_order_repeat(request.user, attempt))
    back = attempt.get_absolute_url()

    def save(form):
        signing.order_repeat(request.user, attempt, form.cleaned_data["reason"])
        return _("One repeat is ordered. Log it at a drill of the same exercise."), back

    return form_page(
        request,
        RepeatForm(_sent(request)),
        save=save,
        heading=_("Order one repeat for %s?") % attempt.student,
        intro=_(
            "This attempt was too close to call and counts neither way. It can be repeated once "
            "by order; the order stays on record."
        ),
        submit=_("Order the repeat"),
        cancel=back,
    )


def packet_issue(request: HttpRequest, pk: int, student_pk: int) -> HttpResponse:
    certification = visible_certification(request, pk)
    student = get_visible(policies.candidates(request.user, certification), pk=student_pk)
    require(policies.may_lead(request.user, certification, student))
    found = standing_of(certification, student)

    def save(form):
        packet = issuing.issue_packet(
            request.user,
            certification,
            student,
            family_name=form.cleaned_data["family_name"],
            check_address=check_address(request),
        )
        return _("The certificate is issued."), packet.get_absolute_url()

    return form_page(
        request,
        IssueForm(_sent(request), initial={"family_name": student.name.split()[-1]}),
        save=save,
        template="assessments/packet_issue.html",
        heading=_("Issue “%(title)s” to %(name)s?") % {"title": certification, "name": student},
        submit=_("Issue the certificate"),
        cancel=reverse("standing", args=[pk, student_pk]),
        standing=found,
        against=issuing.reasons_against(request.user, found),
        certification=certification,
    )


def _sent(request: HttpRequest):
    """What was sent, be it nothing: some of these forms have no field that must be filled in."""
    return request.POST if request.method == "POST" else None
