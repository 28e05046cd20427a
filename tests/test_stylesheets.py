"""The stylesheets: every token known, no rule without a use, readable in every light.

Contrast is that of WCAG 2.2, success criterion 1.4.3: https://www.w3.org/TR/WCAG22/#contrast-minimum
"""

import re

import pytest

from tests.test_house import ROOT, tracked_files

SHEETS = {path.name: path.read_text(encoding="utf-8") for path in ROOT.glob("static/*.css")}
LOOK = SHEETS["plumbshadow.css"]
LIGHTS = ["bright", "dark", "red", "paper"]
# What text stands on, and what is written on it.
TEXTS = ["ink", "ink-soft", "water", "warn", "wood"]
GROUNDS = ["paper", "sheet", "shade-soft", "warn-soft", "care", "good"]
PAIRS = [
    *((text, ground) for text in TEXTS for ground in GROUNDS),
    ("wood-text", "wood"), ("wood-text", "wood-deep"), ("alarm-text", "alarm"), ("paper", "warn"),
    ("paper", "ink"),
]  # fmt: skip
READABLE, VISIBLE = 4.5, 3.0
# Classes that Bootstrap, crispy-forms and htmx put on a page.
FROM_PACKAGES = re.compile(
    r"btn|form-|table|row$|mb-\d|alert|is-invalid|invalid-feedback|asteriskField|input-group"
    r"|navbar|col-form-label|fieldset"
)


OWN_BLOCK = {
    "red": r':root\[data-light="red"\] \{([^}]*)\}',
    "paper": r"@media print \{\s*:root \{([^}]*)\}",
}


def own_tokens(light: str) -> dict[str, str]:
    """Those that a light, or paper, sets for itself."""
    return dict(re.findall(r"--([\w-]+): (#\w+)", re.search(OWN_BLOCK[light], LOOK)[1]))


def tokens(light: str) -> dict[str, str]:
    """The colour tokens that hold in a light, or on paper."""
    if light in OWN_BLOCK:
        return own_tokens(light)
    both = re.findall(r"--([\w-]+): light-dark\((#\w+), (#\w+)\)", LOOK)
    return {name: dark if light == "dark" else bright for name, bright, dark in both}


def luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_that_of_the_guidelines():
    assert contrast("#000000", "#fff") == pytest.approx(21.0)
    # From memory: the lightest grey that passes on white.
    assert 4.5 < contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("light", LIGHTS)
def test_every_text_can_be_read_on_everything_it_stands_on(light):
    colours = tokens(light)
    pale = {
        pair: round(found, 2)
        for pair in PAIRS
        if (found := contrast(colours[pair[0]], colours[pair[1]])) < READABLE
    }
    assert pale == {}


@pytest.mark.parametrize("light", ["bright", "dark"])
def test_what_marks_a_state_without_words_can_be_seen(light):
    colours = tokens(light)
    for mark in ("wood", "warn", "shade", "contour", "water"):
        assert contrast(colours[mark], colours["paper"]) >= VISIBLE


def test_the_red_light_has_nothing_but_red():
    assert {colour[3:] for colour in tokens("red").values()} == {"0000"}


@pytest.mark.parametrize("light", LIGHTS)
def test_every_light_sets_every_token(light):
    assert set(tokens(light)) == set(tokens("bright")) > {"ink", "paper", "alarm"}


def test_paper_is_printed_in_black_and_greys_on_white():
    colours = tokens("paper")
    assert (colours["paper"], colours["ink"]) == ("#fff", "#000")
    assert all(len(set(colour[1:])) == 1 for colour in colours.values())


def test_every_token_in_use_is_set():
    for name, text in SHEETS.items():
        used = set(re.findall(r"var\(--([\w-]+)", text))
        assert used - set(re.findall(r"--([\w-]+):", LOOK + text)) == set(), name


def test_colours_stand_among_the_tokens_only():
    # Besides: readers of codes want black on white.
    besides = re.compile(r"\.qr-")
    rule = re.compile(r"([^{}]+)\{([^{}]*)\}")
    loose = {}
    for name, text in SHEETS.items():
        rules = text.split("/* Bootstrap's own")[-1].split("@media print {\n  :root")[0]
        rules = re.sub(r"(?s)/\*.*?\*/", "", rules)
        for selector, body in rule.findall(rules):
            if re.search(r"#[0-9a-f]{3,6}\b", body) and not besides.match(selector.strip()):
                loose[selector.strip()] = name
    assert loose == {}


def test_no_rule_is_without_a_use():
    written = "\n".join(
        path.read_text(encoding="utf-8")
        for path in tracked_files()
        if path.suffix in {".html", ".py", ".js"} and path.relative_to(ROOT).parts[0] != "tests"
    )
    words = set(re.findall(r"[\w-]+", written))
    # Names put together from a word and a state, as in `verdict-{{ state }}`.
    starts = set(re.findall(r"([\w-]+-)[{$%]", written))
    unused = set()
    for text in SHEETS.values():
        selectors = re.sub(r"(?s)/\*.*?\*/|\{[^{}]*\}", " ", text)
        for name in re.findall(r"\.([a-zA-Z][\w-]*)", selectors):
            known = name in words or any(name.startswith(start) for start in starts)
            if not known and not FROM_PACKAGES.match(name):
                unused.add(name)
    assert unused == set()
