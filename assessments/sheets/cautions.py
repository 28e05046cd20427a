"""What every sheet of an exercise carries besides its contents."""

from django.utils.translation import gettext as _

from coursework import cautions as usual
from coursework.models.methods import is_travel


def cautions(method: str) -> list[str]:
    """Sentences of caution for one method, its worst danger first."""
    return [str(caution) for caution in usual.cautions(method)]


def scope(kind: str, method: str = "") -> str:
    """What the sheet is, and what it is not."""
    if kind == "blank":
        return _(
            "For notes in the field. What is written here counts once it has been entered and "
            "scored."
        )
    if is_travel(method):
        return _(
            "A record of training: it shows what was done at this place on that day, against what "
            "was measured. It is no licence and does not vouch for finding the way elsewhere."
        )
    return _(
        "A record of training: it shows how near a line came to a true bearing, at this place and "
        "hour, by this method. It is no licence and does not vouch for finding the way elsewhere."
    )
