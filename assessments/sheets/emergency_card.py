"""The emergency card of one drill on paper: whom to call, where, what first, who is there.

The position and the number to call stand on top, large, so that someone who has never seen the
card can read them out over a telephone.
"""

from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from reportlab.platypus import Flowable, KeepTogether

from assessments.sheets.layout import Composer
from coursework import cautions
from coursework.wording import said_of


@dataclass(frozen=True, kw_only=True)
class Sharer:
    """A student and what they agreed to share; blank where they share nothing of a kind."""

    name: str
    contact: str = ""
    medical: str = ""


@dataclass(frozen=True, kw_only=True)
class EmergencyCard:
    """All that stands on the card. `positions` and `rally_positions` are (name, text) pairs."""

    school: str
    exercise: str
    cohort: str
    site: str
    when: str
    positions: tuple[tuple[str, str], ...]
    elevation_m: float
    emergency_number: str = ""
    nearest_help: str = ""
    rally: str = ""
    rally_positions: tuple[tuple[str, str], ...] = ()
    safe_heading: str = ""
    hazards: str = ""
    emergency_notes: str = ""
    decision: str = ""
    staff: tuple[tuple[str, str], ...] = ()
    students: tuple[Sharer, ...] = field(default=())
    printed: str = ""


def render_pdf(card: EmergencyCard, *, paper: str = "a4") -> bytes:
    """The card as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    title = _("Emergency card: %(site)s") % {"site": card.site}
    story = [
        composer.paragraph(title, "title"),
        composer.paragraph(" · ".join([card.exercise, card.cohort, card.school]), "under-title"),
        composer.paragraph(
            _(
                "Local rules, licensed practice and whoever is in charge on the day come first. "
                "For the staff of this drill only: it holds what students shared. Carry it, do not "
                "post it, and destroy it after the drill."
            ),
            "small",
        ),
        *_call(card, composer),
        *_place(card, composer),
        *_first_steps(composer),
        *_people(card, composer),
    ]
    return composer.pdf(
        story,
        title=title,
        author=card.school,
        footer=card.printed,
        subject=_("Emergency card"),
    )


def _call(card: EmergencyCard, composer: Composer) -> list[Flowable]:
    number = card.emergency_number or _("not entered by the school: write it here")
    lines = [
        composer.paragraph(_("Call: %(number)s") % {"number": number}, "call"),
        *[composer.paragraph(said_of(name, text), "verdict") for name, text in card.positions],
        composer.paragraph(
            _(
                "Say: where (read out one of these positions and the name of the place), what "
                "happened, how many people, the weather, your number. Do not hang up first."
            ),
            "small",
        ),
    ]
    return [KeepTogether([composer.boxed(*lines)])]


def _place(card: EmergencyCard, composer: Composer) -> list[Flowable]:
    nothing = _("nothing entered")
    rally = [card.rally, *[said_of(name, text) for name, text in card.rally_positions]]
    pairs = [
        (_("Held"), card.when),
        (_("Go or stay"), card.decision),
        (_("Elevation"), _("%(metres)s m") % {"metres": f"{card.elevation_m:.0f}"}),
        (_("Rally point"), "\n".join(filter(None, rally)) or nothing),
        (_("Safe heading"), card.safe_heading or nothing),
        (_("Emergency notes"), card.emergency_notes or nothing),
        (_("Nearest help"), card.nearest_help or nothing),
        (_("Hazards"), card.hazards or nothing),
    ]
    return composer.section(_("The place"), composer.facts(pairs, columns=1, label_part=0.2))


def _first_steps(composer: Composer) -> list[Flowable]:
    steps = [
        f"{number}. {step}" for number, step in enumerate(cautions.lost_person_steps(), start=1)
    ]
    lost = composer.section(
        _("Someone is missing"), *[composer.paragraph(step, "step") for step in steps]
    )
    rules = [cautions.lightning_rule(), cautions.heat_rule(), str(cautions.cautions()[0])]
    rest = composer.section(_("Lightning, heat, sun"), *composer.items(rules))
    return [KeepTogether(lost), KeepTogether(rest)]


def _people(card: EmergencyCard, composer: Composer) -> list[Flowable]:
    staff = composer.facts(
        [(name, roles) for name, roles in card.staff] or [(_("Staff"), _("nobody enrolled"))],
        columns=1,
        label_part=0.45,
    )
    found = composer.section(_("Staff"), staff)
    title = ngettext(
        "In the group: %(count)s student. Count out: ____  Count in: ____",
        "In the group: %(count)s students. Count out: ____  Count in: ____",
        len(card.students),
    ) % {"count": len(card.students)}
    if not card.students:
        return found + composer.section(title, composer.paragraph(_("Nobody is enrolled.")))
    header = [_("Student"), _("To call in an emergency"), _("Medical note"), _("Seen")]
    rows = [
        [
            student.name,
            student.contact or _("not shared"),
            student.medical or _("nothing shared"),
            "",
        ]
        for student in card.students
    ]
    table = composer.table(header, rows, [30, 32, 40, 10])
    shared = _(
        "Only what each student agreed to share stands here; “nothing shared” is not “well”."
    )
    return [*found, *composer.section(title, table), composer.paragraph(shared, "small")]
