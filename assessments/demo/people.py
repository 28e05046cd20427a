"""Who belongs to the invented school, and what each one is like in the field."""

from dataclasses import dataclass

from assessments.demo.places import ALPINE_2025, ALPINE_2026, OTAGO_2026

ADMIN = ("maelle", "Maëlle Garcin-Roux")

INSTRUCTORS = {
    ALPINE_2025: [
        ("jadwiga", "Jadwiga Żółkiewska", "lead"),
        ("tasos", "Τάσος Βλαχόπουλος", "assistant"),
    ],
    OTAGO_2026: [("aroha", "Aroha Tāmihana", "lead"), ("vinh", "Lương Quốc Vịnh", "assistant")],
    ALPINE_2026: [
        ("jadwiga", "Jadwiga Żółkiewska", "lead"),
        ("leonie", "Léonie Vautier", "assistant"),
    ],
}
"""Sign-in name, name and role. Someone who was a student before is an assistant later on."""


@dataclass(frozen=True, kw_only=True)
class Temper:
    """How someone errs. Angles are degrees, to the right positive; standard deviations."""

    pull_deg: float = 0.0
    """The same turn in every line."""
    scatter_deg: float = 4.0
    first_scatter_deg: float | None = None
    """At the first drill, where practice brings it down to `scatter_deg` by the last."""
    hand_deg: float = 10.0
    """What a hand covers; known to the school only where it was measured."""
    hand_measured: bool = True
    sets_rule: bool = True
    """Turns for each hand what the measured hand covers, instead of the rule's 15 degrees."""
    counting_share: float = 0.06
    """Scatter of a count as a part of it."""
    interval_min: float = 16.0
    """Minutes left between shadow marks."""
    declares: bool = False
    """Turns the line by what the method is off, as well as can be told in the head."""
    declination_share: float = 0.0
    """Adds this share of the declination to a line that needs none."""
    summer_watch: bool = False
    """Reads a watch on summer time as if it showed standard time."""
    swaps_at: int | None = None
    """The drill (counted from 0) at which north was taken for south."""


CAREFUL = Temper(scatter_deg=1.2, counting_share=0.02)
STEADY = Temper()
LOOSE = Temper(scatter_deg=8.0, counting_share=0.12)
PULLS_RIGHT = Temper(pull_deg=7.0, scatter_deg=2.5)
PULLS_LEFT = Temper(pull_deg=-6.0, scatter_deg=3.0)
SMALL_HANDS = Temper(hand_deg=8.2, sets_rule=False, scatter_deg=3.0)
UNMEASURED = Temper(hand_deg=9.4, hand_measured=False)
HASTY = Temper(interval_min=4.0, scatter_deg=2.5)
IMPROVING = Temper(first_scatter_deg=15.0, scatter_deg=1.8)
WRONG_DECLINATION = Temper(declination_share=1.0, scatter_deg=2.0)
TWICE_DECLINATION = Temper(declination_share=-2.0, scatter_deg=2.0)
SUMMER_WATCH = Temper(summer_watch=True, scatter_deg=3.0)
SWAPPER = Temper(swaps_at=3)
DECLARER = Temper(declares=True, scatter_deg=2.0)

STUDENTS: dict[str, list[tuple[str, str, Temper]]] = {
    ALPINE_2025: [
        ("leonie", "Léonie Vautier", CAREFUL),
        ("zofia", "Zofia Świerczyńska", PULLS_RIGHT),
        ("bartek", "Bartłomiej Gąsior", HASTY),
        ("ngoc", "Trịnh Bảo Ngọc", IMPROVING),
        ("eleni", "Ελένη Μαυρογιάννη", SMALL_HANDS),
        ("petros", "Πέτρος Καραγκιόζογλου", SUMMER_WATCH),
        ("layla", "Laylā al-Ḥamdānī", STEADY),
        ("yusuf", "Yūsuf Bin ʿAṭṭār", LOOSE),
        ("corentin", "Corentin Delaspre", SWAPPER),
        ("ines", "Inês Carrapatoso", UNMEASURED),
        ("oskar", "Oskar Håkonsgård", PULLS_LEFT),
    ],
    OTAGO_2026: [
        ("mereana", "Mereana Pōtaka", STEADY),
        ("wiremu", "Wiremu Hāpuku", WRONG_DECLINATION),
        ("kauri", "Kauri Ellingham", TWICE_DECLINATION),
        ("hanh", "Phùng Thị Mỹ Hạnh", CAREFUL),
        ("dang", "Đặng Gia Khánh", PULLS_LEFT),
        ("siosaia", "Siosaia Fifitaʻila", HASTY),
        ("isla", "Isla Macreadie", IMPROVING),
        ("rangi", "Rangimārie Whatuira", SMALL_HANDS),
        ("toby", "Toby Penhallow", LOOSE),
        ("nadia", "Nādiyah aṣ-Ṣabbāgh", SUMMER_WATCH),
    ],
    ALPINE_2026: [
        ("zofia", "Zofia Świerczyńska", Temper(pull_deg=3.0, scatter_deg=2.0, declares=True)),
        ("layla", "Laylā al-Ḥamdānī", DECLARER),
        ("grzegorz", "Grzegorz Brzęczyk", Temper(declares=True, scatter_deg=4.0)),
        ("thuy", "Vương Thúy Quỳnh", CAREFUL),
        ("kalliopi", "Καλλιόπη Ξενάκη-Ψαρρά", IMPROVING),
        ("hakim", "ʿAbd al-Ḥakīm Ziyānī", STEADY),
        ("solene", "Solène Pradourat", PULLS_RIGHT),
        ("matteo", "Matteo Colderove", UNMEASURED),
        ("ewa", "Ewa Łękawska", HASTY),
        ("jorun", "Jórunn Skarphéðinsdóttir", DECLARER),
        ("amaury", "Amaury Vent d’Aubrac", SWAPPER),
    ],
}


def paces_for_200_m(username: str) -> int:
    """What the invented student counts over 200 m: every second step, 118 to 141 of them."""
    return 118 + sum(map(ord, username)) % 24
