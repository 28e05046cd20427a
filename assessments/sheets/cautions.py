"""The cautions that every sheet of a sun exercise carries (common practice, no source)."""

from django.utils.translation import gettext as _


def cautions(method: str) -> list[str]:
    """Sentences of caution for one method, the sun's first."""
    found = [
        _(
            "Never look at the sun, not even when it is low or through a sight, a lens or dark "
            "glasses: use the shadow."
        )
    ]
    if method == "hands":
        found.append(
            _(
                "Counting hands brings the eyes close to the sun: keep it covered by the hand, "
                "look at the horizon, and stop if it dazzles."
            )
        )
    if method == "watch":
        found.append(
            _("Point the hour hand by the shadow of a stalk or stick, not by sighting at the sun.")
        )
    found += [
        _("Heat: shade, water and breaks come before the exercise; watch each other for signs."),
        _("Lightning: leave open and high ground at the first thunder, and do not wait for rain."),
        _(
            "Separation: keep in sight or in call, agree on a meeting point and on what to do "
            "when someone is missing."
        ),
        _(
            "Local rules and licensed practice come first: land and fire rules, the school’s own "
            "safety plan, and whoever is in charge on the day."
        ),
    ]
    return found


def scope(kind: str) -> str:
    """What the sheet is, and what it is not."""
    if kind == "blank":
        return _(
            "For notes in the field. What is written here counts once it has been entered and "
            "scored."
        )
    return _(
        "A record of training: it shows how near a line came to a true bearing, at this place and "
        "hour, by this method. It is no licence and does not vouch for finding the way elsewhere."
    )
