"""What pages show of true, grid and magnetic north."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from assessments.sheets import north_words
from assessments.sheets.lettering import SCREEN
from assessments.sheets.north_diagram import north_diagram
from assessments.sheets.svg import to_svg
from coursework.norths import Norths


@dataclass(frozen=True)
class NorthsPage:
    """The diagram and its sentences; numbers from one place and date."""

    norths: Norths

    @property
    def svg(self) -> SafeString:
        return to_svg(
            north_diagram(self.norths, SCREEN),
            prefix="norths",
            title=_("True, grid and magnetic north"),
            description=north_words.described(self.norths),
        )

    @property
    def as_of(self) -> str:
        return north_words.as_of(self.norths)

    @property
    def angles(self) -> list[tuple[str, str]]:
        return north_words.angle_rows(self.norths)

    @property
    def warnings(self) -> list[str]:
        return north_words.warnings(self.norths)

    @property
    def notes(self) -> list[str]:
        return north_words.notes(self.norths)

    @property
    def conversions(self) -> list[str]:
        return north_words.conversions(self.norths)
