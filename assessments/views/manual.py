"""The manual and its glossary: for everyone who is signed in."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString

from assessments.manual.contents import chapters, neighbours
from assessments.manual.glossary import terms
from assessments.manual.parts import Figure, Heading, Part, Rows, Text
from assessments.pages import drawn_for_page
from assessments.sheets import said
from assessments.sheets.manual_sheet import render_pdf
from assessments.sheets.svg import to_svg
from assessments.views.sheets import paper_of, pdf_response
from coursework.markdown import render as render_markdown


@dataclass(frozen=True)
class Shown:
    """A part as the template takes it: its kind, and what is shown of it."""

    kind: str
    part: Part
    html: SafeString | str = ""


def manual(request: HttpRequest) -> HttpResponse:
    return render(request, "assessments/manual.html", {"chapters": chapters()})


def manual_page(request: HttpRequest, name: str) -> HttpResponse:
    try:
        before, page, after = neighbours(name)
    except LookupError as error:
        raise Http404 from error
    context = {
        "page": page,
        "parts": [_shown(part) for part in page.build()],
        "before": before,
        "after": after,
    }
    return render(request, "assessments/manual_page.html", context)


def manual_glossary(request: HttpRequest) -> HttpResponse:
    return render(request, "assessments/manual_glossary.html", {"terms": terms()})


def manual_pdf(request: HttpRequest) -> HttpResponse:
    school = request.user.school
    content = render_pdf(paper=paper_of(request), school=school.name if school else "")
    return pdf_response(content, "plumbshadow manual")


def _shown(part: Part) -> Shown:
    match part:
        case Heading(text):
            return Shown("heading", part, text)
        case Text():
            return Shown("text", part, render_markdown(part.for_page))
        case Figure():
            return Shown("figure", part, _svg(part))
        case Rows():
            return Shown("rows", part)


def _svg(figure: Figure) -> SafeString:
    return to_svg(
        drawn_for_page(figure.drawing, figure.zone),
        prefix=f"manual-{figure.name}",
        title=said.title_of_drawing(figure.drawing),
        description=said.description_of_drawing(figure.drawing, figure.numbers, figure.zone),
    )
