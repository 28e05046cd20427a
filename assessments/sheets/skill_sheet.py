"""Skill sheets on paper: `SkillSheet` in, PDF out, the same bytes for the same sheet."""

from assessments.sheets.contents import Place, Record, SkillSheet, Standard
from assessments.sheets.layout import Composer
from assessments.sheets.pages import story_of, title_of

__all__ = ["Place", "Record", "SkillSheet", "Standard", "render_pdf"]


def render_pdf(sheet: SkillSheet, *, paper: str = "a4") -> bytes:
    """The sheet as PDF on `paper` ("a4" or "letter", upright); ValueError for another paper."""
    composer = Composer(paper)
    story = story_of(sheet, composer)
    return composer.pdf(story, title=title_of(sheet), author=sheet.school, footer=sheet.student)
