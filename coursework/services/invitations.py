"""Links that let people in: made, revoked, accepted."""

import base64
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Cohort, Enrolment, Invitation, Person, Role
from coursework.models.invitations import token_hash

MOST_AT_ONCE = 40
LONGEST_DAYS = 90
# 120 bits: not to be guessed, and still short enough to be typed from paper.
_TOKEN_BYTES = 15


@dataclass(frozen=True, kw_only=True)
class Link:
    """An invitation with the secret part of its address, which is stored nowhere."""

    invitation: Invitation
    token: str


class LinkClosedError(Exception):
    """A link that cannot be accepted; the message is a sentence that says why."""


@transaction.atomic
def invite(
    by: Person,
    *,
    cohort: Cohort | None,
    role: str = "",
    makes_admin: bool = False,
    notes: Sequence[str] = ("",),
    days: int,
    asked: UUID,
    now: datetime | None = None,
) -> list[Link]:
    """One link for each note, for a role in a cohort or (`cohort` None) into the school.

    The same asking (`asked`, made with the form) gives the same links again: a page loaded
    twice shows what it showed, and makes nothing new.
    """
    policies.require(policies.may_invite(by, cohort))
    wanted = [
        {"cohort": cohort, "role": role, "makes_admin": makes_admin, "note": note} for note in notes
    ]
    return _make(by, wanted, days=days, asked=asked, now=now or timezone.now())


@transaction.atomic
def invite_to_sign_in(
    by: Person, people: Iterable[Person], *, days: int, asked: UUID, now: datetime | None = None
) -> list[Link]:
    """One link for each person, by which they choose a password of their own."""
    people = list(people)
    settable = set(policies.passwords_to_set(by).values_list("pk", flat=True))
    policies.require(all(person.pk in settable for person in people))
    wanted = [{"person": person, "note": person.name} for person in people]
    return _make(by, wanted, days=days, asked=asked, now=now or timezone.now())


@transaction.atomic
def revoke(by: Person, invitation: Invitation, now: datetime | None = None) -> None:
    """Make a link useless; one that was used already stays as it is."""
    policies.require(policies.visible_invitations(by).filter(pk=invitation.pk).exists())
    if invitation.accepted_at is not None:
        raise ValidationError(_("This link has been used already."))
    if invitation.revoked_at is None:
        invitation.revoked_at = now or timezone.now()
        invitation.save(update_fields=["revoked_at"])


def look_up(token: str, now: datetime | None = None) -> Invitation | None:
    """The open invitation of a link, None where it is unknown; LinkClosedError says why not."""
    invitation = _of(token).first()
    if invitation is not None:
        _refuse_closed(invitation, now or timezone.now())
    return invitation


@transaction.atomic
def join_new(
    token: str, *, name: str, username: str, password: str, now: datetime | None = None
) -> Person:
    """Accept a link with a new account, which is returned."""
    invitation = _claim(token, now)
    if invitation.person_id is not None:
        raise LinkClosedError(_("This link belongs to an account that is there already."))
    person = Person(name=name, username=username, school=invitation.school)
    person.set_password(password)
    person.full_clean()
    person.save()
    return _let_in(invitation, person, now)


@transaction.atomic
def join_as(token: str, person: Person, now: datetime | None = None) -> Person:
    """Accept a link with the account one has; ValidationError for one of another school."""
    invitation = _claim(token, now)
    if invitation.person_id is not None:
        raise LinkClosedError(_("This link belongs to one account, and opens it with a password."))
    if person.school_id not in (None, invitation.school_id):
        raise ValidationError(
            _("Your account belongs to another school. Sign out and make a new account.")
        )
    held = Enrolment.objects.filter(
        cohort=invitation.cohort_id, person=person, role=invitation.role
    )
    if invitation.cohort_id is not None and held.exists():
        raise ValidationError(
            _("You are %(role)s of this cohort already. The link is still open for someone else."),
            params={"role": Role(invitation.role).label},
        )
    person.school = invitation.school
    person.save(update_fields=["school"])
    return _let_in(invitation, person, now)


@transaction.atomic
def open_account(token: str, *, password: str, now: datetime | None = None) -> Person:
    """Accept a link to an account by choosing its password; ends its sessions elsewhere."""
    invitation = _claim(token, now)
    if invitation.person_id is None:
        raise LinkClosedError(_("This link belongs to no account yet."))
    person = invitation.person
    person.set_password(password)
    person.save(update_fields=["password"])
    _mark_accepted(invitation, person, now)
    return person


def _make(by: Person, wanted: list[dict], *, days: int, asked: UUID, now: datetime) -> list[Link]:
    links = []
    for position, fields in enumerate(wanted):
        # All that a link gives goes into its token: asking for something else makes another.
        parts = [str(value.pk) if hasattr(value, "pk") else str(value) for value in fields.values()]
        place = "" if "person" in fields else str(position)
        seed = "\n".join([str(asked), str(by.pk), place, str(days), *parts])
        digest = salted_hmac("coursework.invitation.token", seed, algorithm="sha256").digest()
        token = base64.b32encode(digest[:_TOKEN_BYTES]).decode("ascii").lower()
        invitation = Invitation(
            school_id=by.school_id,
            token_hash=token_hash(token),
            made_by=by,
            made_at=now,
            expires_at=now + timedelta(days=days),
            **fields,
        )
        invitation.clean_fields(exclude=["token_hash", "accepted_by"])
        invitation.clean()
        there = Invitation.objects.filter(token_hash=invitation.token_hash).first()
        if there is None:
            invitation.save()
        links.append(Link(invitation=there or invitation, token=token))
    return links


def _of(token: str):
    return Invitation.objects.of_token(token).select_related(
        "school", "cohort__course", "person", "made_by"
    )


def _claim(token: str, now: datetime | None) -> Invitation:
    # Locked until it is marked: of two who accept at once, one finds it used.
    invitation = _of(token).select_for_update(of=("self",)).first()
    if invitation is None:
        raise LinkClosedError(_("This link is not known."))
    _refuse_closed(invitation, now or timezone.now())
    return invitation


def _refuse_closed(invitation: Invitation, now: datetime) -> None:
    if invitation.accepted_at is not None:
        raise LinkClosedError(_("This link has been used already."))
    if invitation.revoked_at is not None:
        raise LinkClosedError(_("This link was taken back."))
    if now >= invitation.expires_at:
        raise LinkClosedError(_("This link has expired."))
    if not policies.still_stands(invitation):
        raise LinkClosedError(
            _("Whoever made this link may not let people in any more, so it does not hold.")
        )


def _let_in(invitation: Invitation, person: Person, now: datetime | None) -> Person:
    if invitation.makes_admin:
        person.is_school_admin = True
        person.save(update_fields=["is_school_admin"])
    if invitation.cohort_id is not None:
        Enrolment.objects.create(cohort=invitation.cohort, person=person, role=invitation.role)
    _mark_accepted(invitation, person, now)
    return person


def _mark_accepted(invitation: Invitation, person: Person, now: datetime | None) -> None:
    invitation.accepted_at, invitation.accepted_by = now or timezone.now(), person
    invitation.save(update_fields=["accepted_at", "accepted_by"])
