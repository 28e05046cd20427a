"""The story of a sheet: which parts stand on it, in which order."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from assessments.sheets import blank, said, travel_words, words
from assessments.sheets.cautions import scope
from assessments.sheets.contents import Record, SkillSheet, steps_were_noted
from assessments.sheets.drawing_words import star_names, star_place
from assessments.sheets.figures import figure_of
from assessments.sheets.layout import Composer
from assessments.sheets.north_words import eastward
from assessments.sheets.observed import local_moment
from assessments.sheets.place_words import coordinates, ground_words
from assessments.sheets.tagging import Figure, LayoutTable, Table
from assessments.sheets.travel_words import TravelNumbers
from coursework.models import Method, Unit
from coursework.models.methods import is_travel
from coursework.wording import date_format, said_of

_DRAWING_HEIGHT, _TRAVEL_HEIGHT = 262.0, 310.0


def title_of(sheet: SkillSheet) -> str:
    if sheet.kind == "blank":
        return _("Field sheet: %(exercise)s") % {"exercise": sheet.exercise}
    return _("Skill sheet: %(exercise)s") % {"exercise": sheet.exercise}


def story_of(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
    """All flowables of the sheet; a note on unprintable characters follows the heading."""
    head = [
        composer.paragraph(title_of(sheet), "title"),
        composer.paragraph(_under_title(sheet), "under-title"),
    ]
    body = {"attempt": _attempt, "exercise": _exercise, "blank": blank.parts}[sheet.kind](
        sheet, composer
    )
    scope_of_it = composer.paragraph(scope(sheet.kind, sheet.method))
    # Those who sign have what they sign on the same page.
    signed = [scope_of_it, Spacer(1, 16), _signatures(composer)]
    body.append(KeepTogether(composer.section(_("What this sheet is"), *signed)))
    return [*head, *missing_note(composer), *body]


def _under_title(sheet: SkillSheet) -> str:
    return " · ".join(
        filter(None, [words.capital(sheet.method_name), sheet.course, sheet.cohort, sheet.school])
    )


def missing_note(composer: Composer) -> list[Flowable]:
    missing = list(dict.fromkeys(composer.missing))
    if not missing:
        return []
    codes = ", ".join(f"U+{ord(character):04X}" for character in missing[:12])
    codes += "…" if len(missing) > 12 else ""
    note = ngettext(
        "This sheet’s lettering lacks a character; its number stands in brackets in its place "
        "(%(codes)s). Write it in by hand.",
        "This sheet’s lettering lacks some characters; their numbers stand in brackets in their "
        "place (%(codes)s). Write them in by hand.",
        len(missing),
    )
    return [composer.boxed(composer.paragraph(note % {"codes": codes}, "small"))]


def _standard(sheet: SkillSheet) -> str:
    return said.standard_sentence(sheet.standard)


def _attempt(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
    (record,) = sheet.records
    people = [
        (_("Student"), sheet.student),
        (_("Assessor"), record.assessor),
        (_("Observed"), local_moment(record.observed_at, record.place.zone)),
        (_("Counts as"), _("assessed") if record.assessed else _("practice")),
    ]
    parts: list[Flowable] = [composer.facts(people)]
    if record.revision > 1:
        parts.append(composer.facts([(_("Record"), _revised(record))], columns=1, label_part=0.185))
    parts += composer.section(_("Task"), composer.paragraph(sheet.task or "–"))
    parts += composer.section(_("Conditions"), *_conditions(record, composer))
    parts += composer.section(_("Standard"), composer.paragraph(_standard(sheet)))
    parts += _steps(record, composer)
    parts += composer.section(_("Place"), *_place(record, composer))
    if record.observations:
        rows = composer.facts(list(record.observations), label_part=0.46)
        parts += composer.section(_("Times and observations"), rows)
    parts += composer.cautions(sheet.method)
    if record.no_result:
        return [*parts, _without_result(record, composer)]
    parts += _drawn(record, composer, _("Seen from above"))
    told = composer.items(said.sentences(record.numbers))
    title = _("What the result shows") if is_travel(sheet.method) else _("What the line shows")
    parts += [KeepTogether(composer.section(title, *told))]
    if sheet.method != Method.CHECKLIST:  # whose one number stands in the verdict
        numbers = [_numbers_table(record, composer)]
        if record.engine:
            engine = _("Computed by %(engine)s.") % {"engine": record.engine}
            numbers.append(composer.paragraph(engine, "small"))
        parts += [KeepTogether(composer.section(_("In numbers"), *numbers))]
    parts += [_verdict(record, composer)]
    return parts


def _revised(record: Record) -> str:
    words_for = {"number": record.revision, "reason": record.revision_reason}
    if record.revision_reason:
        return _("corrected, revision %(number)s: %(reason)s") % words_for
    return _("corrected, revision %(number)s") % words_for


def _conditions(record: Record, composer: Composer) -> list[Flowable]:
    pairs = [
        (_("Sky"), record.sky or _("not noted")),
        (_("Ground"), record.ground or _("not noted")),
    ]
    found: list[Flowable] = [composer.facts(pairs)]
    if record.remark:
        found.append(composer.paragraph(_("Remark: %(remark)s") % {"remark": record.remark}))
    return found


def _steps(record: Record, composer: Composer) -> list[Flowable]:
    if not record.steps:
        return []
    steps = [(step, step in record.steps_met) for step in record.steps]
    met = sum(ticked for _step, ticked in steps)
    title = _("Performance steps: %(met)s of %(count)s met") % {"met": met, "count": len(steps)}
    noted = steps_were_noted(record.steps_met, record.numbers.method)
    if not noted or (record.no_result and not met):
        left = _("Performance steps: none was noted")
        title = _("Performance steps") if record.no_result else left
        return composer.section(title, *composer.items(record.steps))
    return composer.section(title, composer.steps(steps))


def _place(record: Record, composer: Composer) -> list[Flowable]:
    place = record.place
    pairs = [
        (_("Site"), place.name),
        (_("Coordinates"), coordinates(place)),
        (_("Elevation"), _("%(metres)s m") % {"metres": f"{place.elevation_m:.0f}"}),
        (_("Time zone"), place.zone),
    ]
    if not is_travel(record.numbers.method):
        pairs += [(_("Ground"), ground_words(place)), (_("Skyline"), place.skyline)]
    return [composer.facts(pairs)]


def _drawn(record: Record, composer: Composer, title: str) -> list[Flowable]:
    made = _drawing(record, composer)
    return [KeepTogether(composer.section(title, made))] if made is not None else []


def _drawing(record: Record, composer: Composer, alt: str = "") -> Figure | None:
    height = _TRAVEL_HEIGHT if is_travel(record.numbers.method) else _DRAWING_HEIGHT
    size, zone = {"width": composer.width, "height": height}, record.place.zone
    return figure_of(record.drawing, record.numbers, **size, zone=zone, alt=alt)


def _numbers_table(record: Record, composer: Composer) -> Table:
    numbers = record.numbers
    if isinstance(numbers, TravelNumbers):
        return composer.facts(travel_words.number_rows(numbers), label_part=0.68)
    pairs = [
        (_("True bearing asked for"), words.bearing(numbers.target_deg)),
        (_("Line laid, true bearing"), words.bearing(numbers.laid_deg)),
        (_("Result error"), words.signed(numbers.error_deg)),
        (_("Method error"), words.signed(numbers.method_error_deg)),
        (_("Own error"), words.signed(numbers.own_error_deg)),
        (_("Counting error"), _given(words.signed, numbers.counting_error_deg)),
        (_("Perfect count with this hand"), _hands(record)),
        (_("Declared correction"), _given(words.signed, numbers.declared_correction_deg)),
        (_("Correction error"), _given(words.signed, numbers.correction_error_deg)),
        (
            _("Expanded uncertainty of the check (k = 2)"),
            f"±{words.degrees(numbers.expanded_uncertainty_deg)}",
        ),
        (
            _("Marking scatter (standard deviation)"),
            _given(words.degrees, numbers.marking_scatter_deg),
        ),
        (_("Sideways miss after 1 km"), _miss(numbers.error_deg)),
        *_sky_pairs(record),
        (_("Magnetic declination used"), _given(eastward, record.declination_used_deg)),
        (_("Magnetic model"), record.magnetic_model),
    ]
    return composer.facts([pair for pair in pairs if pair[1]], label_part=0.68)


def _sky_pairs(record: Record) -> list[tuple[str, str]]:
    """Where the sun stood, or the stars that were sighted."""
    stars = record.drawing.get("stars")
    if not stars:
        return [
            (
                _("Sun at the last mark, true bearing"),
                _given(words.bearing, record.sun_azimuth_deg),
            ),
            (_("Sun at the last mark, height"), _given(words.degrees, record.sun_elevation_deg)),
        ]
    names = star_names(record.numbers.method)
    return [(name, star_place(star)) for star, name in zip(stars, names, strict=True)]


def _hands(record: Record) -> str:
    """Only where the hand was measured, as the split of counting and laying."""
    perfect = record.drawing.get("hands_perfect")
    if perfect is None or record.numbers.counting_error_deg is None:
        return ""
    return _("%(count)s hands") % {"count": number_format(perfect, decimal_pos=1)}


def _given(say: Callable[[float], str], value: float | None) -> str:
    return "" if value is None else say(value)


def _miss(error_deg: float) -> str:
    metres = round(words.sideways_m(error_deg))
    size = _("%(metres)s m") % {"metres": abs(metres)}
    if metres == 0:
        return size
    sides = {"size": size, "side": _("right") if metres > 0 else _("left")}
    return _("%(size)s %(side)s") % sides


def _verdict(record: Record, composer: Composer) -> Flowable:
    numbers = record.numbers
    lines = [composer.paragraph(said_of(_("Verdict"), said.verdict_part(numbers)), "verdict")]
    judged = ""
    if not isinstance(numbers, TravelNumbers):
        judged = _("Judged is %(judged)s.") % {"judged": words.judged_name(numbers.judged_on)}
    if said.is_too_coarse(numbers):
        coarse = _("This check was too coarse to show any result within the tolerance.")
        judged = f"{judged} {coarse}".strip()
    if judged:
        lines.append(composer.paragraph(judged, "small"))
    return KeepTogether([composer.boxed(*lines)])


def _without_result(record: Record, composer: Composer) -> Flowable:
    lines = [
        composer.paragraph(_no_result(record), "verdict"),
        composer.paragraph(_("It is kept on record and is in no figure."), "small"),
    ]
    return KeepTogether([composer.boxed(*lines)])


def _no_result(record: Record) -> str:
    return _("No result: %(reason)s") % {"reason": record.no_result}


def _exercise(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
    people = [(_("Student"), sheet.student)]
    parts: list[Flowable] = [composer.facts(people, columns=1, label_part=0.185)]
    parts += composer.section(_("Task"), composer.paragraph(sheet.task or "–"))
    parts += composer.section(_("Standard"), composer.paragraph(_standard(sheet)))
    if sheet.steps:
        steps = composer.items(sheet.steps)
        parts += composer.section(_("Performance steps"), *steps)
    parts += composer.cautions(sheet.method)
    if not sheet.records:
        none = composer.paragraph(_("No attempt has been recorded yet."))
        return parts + composer.section(_("Attempts"), none)
    parts += composer.section(_("Attempts"), _summary(sheet, composer), _tally(sheet, composer))
    numbered = [
        (number, record)
        for number, record in enumerate(sheet.records, start=1)
        if not record.no_result
    ]
    for number, record in numbered[-sheet.drawn :] if sheet.drawn else []:
        parts += _drawn_attempt(number, record, composer)
    return parts


def _summary(sheet: SkillSheet, composer: Composer) -> Table:
    if is_travel(sheet.method):
        return _travel_summary(sheet, composer)
    header = [
        _("No."),
        _("Observed"),
        _("Site"),
        _("Result error"),
        _("Method error"),
        _("Own error"),
        _("Check ±"),
        _("Verdict"),
        _("Assessor"),
    ]
    rows = [
        [
            str(number),
            local_moment(record.observed_at, record.place.zone),
            record.place.name,
            _or_dash(record.numbers.error_deg, words.signed),
            _or_dash(record.numbers.method_error_deg, words.signed),
            _or_dash(record.numbers.own_error_deg, words.signed),
            _or_dash(record.numbers.expanded_uncertainty_deg, words.degrees),
            _verdict_cell(record),
            record.assessor,
        ]
        for number, record in enumerate(sheet.records, start=1)
    ]
    return composer.table(header, rows, [20, 70, 59, 46, 46, 46, 41, 62, 60])


def _or_dash(value: float | None, said: Callable[[float], str]) -> str:
    return "–" if value is None else said(value)


def _travel_summary(sheet: SkillSheet, composer: Composer) -> Table:
    """The score of each attempt in its unit; a checklist has no uncertainty to be told."""
    header = [_("No."), _("Observed"), _("Site"), _("Score"), _("Reference ±")]
    header += [_("Verdict"), _("Assessor")]
    rows = []
    for number, record in enumerate(sheet.records, start=1):
        numbers = record.numbers
        rows.append(
            [
                str(number),
                local_moment(record.observed_at, record.place.zone),
                record.place.name,
                "–"
                if record.no_result
                else travel_words.signed_score(
                    numbers.value, numbers.unit, numbers.side, numbers.results
                ),
                "–"
                if record.no_result or numbers.unit == Unit.STEPS
                else travel_words.quantity(numbers.expanded_u, numbers.unit),
                _verdict_cell(record),
                record.assessor,
            ]
        )
    return composer.table(header, rows, [20, 84, 84, 70, 54, 72, 70])


def _verdict_cell(record: Record) -> str:
    verdict = _no_result(record) if record.no_result else words.verdict_name(record.numbers.verdict)
    return verdict if record.assessed else _("%(verdict)s (practice)") % {"verdict": verdict}


def _tally(sheet: SkillSheet, composer: Composer) -> Flowable:
    """Every assessed attempt is counted, also those without a result."""
    assessed = [record for record in sheet.records if record.assessed]
    without = sum(bool(record.no_result) for record in assessed)
    within = sum(not record.no_result and record.numbers.verdict == "within" for record in assessed)
    counted = _("Assessed attempts within the standard: %(within)s of %(count)s.")
    sentence = counted % {"within": within, "count": len(assessed)}
    if without:
        said_without = ngettext(
            "%(count)s of them came to no result.", "%(count)s of them came to no result.", without
        )
        sentence = f"{sentence} {said_without % {'count': without}}"
    if sheet.standard.attempts_needed:
        needed = _("Needed: %(count)s.") % {"count": sheet.standard.attempts_needed}
        sentence = f"{sentence} {needed}"
    return composer.boxed(composer.paragraph(sentence, "verdict"))


def _drawn_attempt(number: int, record: Record, composer: Composer) -> list[Flowable]:
    title = _("Attempt %(number)s, %(date)s, %(site)s") % {
        "number": number,
        "date": date_format(record.observed_at.astimezone(ZoneInfo(record.place.zone)), "j F Y"),
        "site": record.place.name,
    }
    told = [said.main_sentence(record.numbers), said.verdict_sentence(record.numbers)]
    made = _drawing(record, composer, _("Seen from above. %(told)s") % {"told": " ".join(told)})
    parts: list[Flowable] = [*composer.items(told)]
    if made is not None:
        parts.append(made)
    return [KeepTogether(composer.section(title, *parts))]


def _signatures(composer: Composer) -> Table:
    """Lines to sign on, wide enough for a hand."""
    labels = [_("Student"), _("Date"), _("Assessor"), _("Date")]
    gap, date = 6 * mm, 26 * mm
    name = (composer.width - 3 * gap - 2 * date) / 2
    cells: list = []
    for label in labels:
        cells += [composer.paragraph(label, "small"), ""]
    widths = [name, gap, date, gap, name, gap, date]
    table = LayoutTable(
        [["" for _cell in widths], cells[:-1]], colWidths=widths, rowHeights=[22, None]
    )
    lines = [("LINEABOVE", (n, 1), (n, 1), 0.8, "black") for n in (0, 2, 4, 6)]
    table.setStyle(
        [*lines, ("LEFTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 1), (-1, 1), 2)]
    )
    return table
