"""The sheets on paper: what stands on them, page by page."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from assessments.sheets.blank import check_fields, condition_fields, method_fields
from assessments.sheets.contents import Standard, TravelStandard
from assessments.sheets.skill_sheet import render_pdf
from coursework.models import Method
from coursework.models.methods import is_by_sun, is_travel, unit_of
from tests.assessments.sheets.builders import (
    STEPS,
    a_place,
    a_record,
    a_sheet,
    awkward_drawings,
    every_method,
    some_numbers,
    with_numbers,
)


def read(sheet, paper="a4") -> PdfReader:
    return PdfReader(BytesIO(render_pdf(sheet, paper=paper)))


def text_of(sheet, paper="a4") -> str:
    pages = [page.extract_text() for page in read(sheet, paper).pages]
    return " ".join(" ".join(pages).split())


@pytest.mark.parametrize(
    "item",
    [
        "Skill sheet: North by the shadow",
        "Ridgeway Field School",
        "Direction without a compass",
        "Midsummer group",
        "Ingrid Holmås",
        "Tor Ekeberg",
        "21 June 2026, 09:15 CEST",
        "Find true north with a stick",
        "thin high cloud",
        "short grass",
        "Remark: The stick leaned.",
        "within 15° to either side",
        "Guarded rule",
        "Performance steps: 2 of 3 met",
        *STEPS,
        "Storvatnet shore",
        "61.5200° N, 8.3100° W",
        "940 m",
        "Europe/Oslo",
        "highest 12.0° at 300°",
        "21 June 2026, 09:00 CEST",
        "the student’s line",
        "The method itself was 28.5° off to the left at this hour; the student added 30.6° to the",
        "Expanded uncertainty of the check (k = 2) ±3.1°",
        "Sideways miss after 1 km 37 m right",
        "WMM-2025",
        "engine 1",
        "Verdict: within the standard: 2.1° against 15° with a check good to ±3.1° (guarded rule)",
        "Never look at the sun",
        "Heat:",
        "Lightning:",
        "Separation:",
        "Local rules and licensed practice come first",
        "A record of training",
        "Student Date Assessor Date",
    ],
)
def test_the_sheet_of_an_attempt_says(item):
    assert item in text_of(a_sheet())


def test_a_corrected_record_says_so_with_its_reason():
    sheet = a_sheet(records=(a_record(revision=3, revision_reason="Read the wrong end"),))
    assert "corrected, revision 3: Read the wrong end" in text_of(sheet)


def test_practice_is_told_from_assessment():
    assert "Counts as practice" in text_of(a_sheet(records=(a_record(assessed=False),)))


def test_a_check_too_coarse_for_the_standard_is_told():
    record = with_numbers(a_record(), expanded_uncertainty_deg=16.0, verdict="too close to call")
    assert "This check was too coarse" in text_of(a_sheet(records=(record,)))


@pytest.mark.parametrize("kind", ["attempt", "exercise", "blank"])
@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_every_page_has_its_paper_size_number_and_name(kind, paper, size):
    pages = read(a_sheet(kind), paper).pages
    for number, page in enumerate(pages, start=1):
        box = page.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)
        text = page.extract_text()
        assert f"page {number} of {len(pages)}" in text
        assert ("Field sheet" if kind == "blank" else "Ingrid Holmås · Skill sheet") in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("kind", ["attempt", "blank"])
def test_an_ordinary_sheet_takes_two_pages(kind, paper):
    assert len(read(a_sheet(kind), paper).pages) == 2


def test_another_paper_is_refused():
    with pytest.raises(ValueError, match="paper size"):
        render_pdf(a_sheet(), paper="a5")


@pytest.mark.parametrize("kind", ["attempt", "exercise", "blank"])
def test_the_same_sheet_gives_the_same_bytes(kind):
    assert render_pdf(a_sheet(kind)) == render_pdf(a_sheet(kind))


def test_the_document_names_its_title_author_and_language():
    reader = read(a_sheet())
    assert reader.metadata.title == "Skill sheet: North by the shadow"
    assert reader.metadata.author == "Ridgeway Field School"
    assert reader.trailer["/Root"]["/Lang"] == "en-gb"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]


def test_fonts_are_embedded():
    reader = read(a_sheet())
    fonts = [
        font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()
    ]
    used = {font["/BaseFont"] for font in fonts}
    assert any("FiraSans" in name for name in used)
    embedded = [font for font in fonts if "/FontDescriptor" in font]
    assert all("/FontFile2" in font["/FontDescriptor"] for font in embedded)


def test_a_name_that_cannot_be_printed_is_told():
    text = text_of(a_sheet(student="Li 李明"))
    assert "Li [U+674E][U+660E]" in text
    assert "lacks some characters" in text
    assert "(U+674E, U+660E)" in text


@pytest.mark.parametrize("student", ["Юлія Ґалаґан", "Ελένη Παππά", "Nguyễn Thị Ánh"])
def test_names_in_other_alphabets_are_printed(student):
    text = text_of(a_sheet(student=student))
    assert student in text
    assert "lacks" not in text


def test_markup_in_a_remark_is_printed_as_it_was_typed():
    record = a_record(remark="<b>five</b> & six < seven\nsecond line")
    text = text_of(a_sheet(records=(record,)))
    assert "<b>five</b> & six < seven second line" in text


def test_steps_of_which_none_was_ticked_are_not_told_as_missed():
    text = text_of(a_sheet(records=(a_record(steps_met=()),)))
    assert "Performance steps: none was noted" in text
    assert "0 of 3" not in text and all(step in text for step in STEPS)


def test_long_texts_wrap_and_run_over_pages():
    record = a_record(remark="windy " * 2000, sky="s" * 120, steps=("step " * 1500, "last one"))
    sheet = a_sheet(student="Anna " * 24, task="long " * 1500, records=(record,))
    pages = read(sheet).pages
    assert sum(page.extract_text().count("windy") for page in pages) == 2000
    assert all(f"of {len(pages)}" in page.extract_text() for page in pages)


def test_a_long_name_is_cut_in_the_footer_before_the_page_number():
    foot = read(a_sheet(student="Annabella " * 12)).pages[1].extract_text()
    (line,) = [line for line in foot.splitlines() if "Annabella" in line]
    assert line.endswith("…")
    assert line.count("Annabella") < 12
    assert "page 2 of 2" in foot


@pytest.mark.parametrize("name", [*every_method(), *awkward_drawings()])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_drawing_fits_the_sheet(name, paper):
    drawing = (every_method() | awkward_drawings())[name]
    sheet = a_sheet(
        method=drawing["method"],
        method_name=drawing["method"],
        records=(a_record(drawing=drawing),),
    )
    assert "Seen from above" in text_of(sheet, paper)


def test_hands_name_the_perfect_count_where_the_hand_was_measured():
    drawing = every_method()["hands"] | {"hands_perfect": 4.13}
    record = a_record(drawing=drawing, numbers=some_numbers(method="hands", counting_error_deg=2.0))
    sheet = a_sheet(method="hands", records=(record,))
    assert "Perfect count with this hand 4.1 hands" in text_of(sheet)
    assert "Counting hands brings the eyes close to the sun" in text_of(sheet)


def test_an_exercise_sheet_lists_all_attempts_and_draws_the_last():
    records = tuple(a_record(place=a_place(name=f"Site {n}")) for n in range(1, 6))
    text = text_of(a_sheet("exercise", records=records, drawn=2))
    assert all(f"Site {n}" in text for n in range(1, 6))
    assert "Attempt 4, 21 June 2026, Site 4" in text
    assert "Attempt 3, " not in text


def test_an_exercise_sheet_counts_assessed_attempts_only():
    records = (a_record(), a_record(assessed=False), with_numbers(a_record(), verdict="outside"))
    text = text_of(a_sheet("exercise", records=records))
    assert "Assessed attempts within the standard: 1 of 2. Needed: 3." in text
    assert "(practice)" in text


def test_an_exercise_sheet_without_attempts_says_so():
    assert "No attempt has been recorded yet." in text_of(a_sheet("exercise", records=()))


def test_an_exercise_sheet_that_draws_none_has_the_table_alone():
    text = text_of(a_sheet("exercise", drawn=0))
    assert "Attempt 1," not in text
    assert "Result error" in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("method", [method for method in Method if is_by_sun(method)])
def test_a_blank_sheet_has_a_place_for_everything_that_is_recorded(method, paper):
    text = text_of(a_sheet("blank", method=method), paper)
    fields = [*method_fields(method), *check_fields(), *condition_fields()]
    assert all(label in text for label, _choices, _unit in fields)
    assert all(choice in text for _label, choices, _unit in fields for choice in choices)
    assert "Draw stick, marks, shadows" in text
    assert "Never look at the sun" in text
    assert all(step in text for step in STEPS)


@pytest.mark.parametrize("method", [method for method in Method if not is_by_sun(method)])
def test_a_blank_sheet_without_the_sun_asks_for_what_it_needs(method):
    text = text_of(a_sheet("blank", method=method, standard=a_standard(method)))
    fields = [*method_fields(method), *condition_fields()]
    fields += [] if is_travel(method) else check_fields()
    assert all(label in text for label, _choices, _unit in fields)
    assert ("Checked by" in text) is not is_travel(method)
    assert "Never look at the sun" not in text
    assert all(step in text for step in STEPS)


def a_standard(method):
    if not is_travel(method):
        return Standard(target_deg=0.0, tolerance_deg=5.0)
    return TravelStandard(method=method, tolerance=5.0, unit=unit_of(method))


def test_a_blank_sheet_of_an_exercise_without_steps_is_printed():
    assert "Performance steps" not in text_of(a_sheet("blank", steps=()))
