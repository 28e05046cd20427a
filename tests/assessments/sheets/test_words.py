"""Results in sentences, at the edges of rounding and of sides."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.sheets import words
from assessments.sheets.words import Numbers
from solar.bearings import wrap_deg
from solar.decision import decide

angles = st.floats(-179.999, 180.0)


def numbers(**changes) -> Numbers:
    values = {
        "method": "shadow-tip",
        "target_deg": 0.0,
        "laid_deg": 344.4,
        "error_deg": -15.6,
        "method_error_deg": -17.7,
        "own_error_deg": 2.1,
        "expanded_uncertainty_deg": 3.4,
        "tolerance_deg": 15.0,
        "verdict": "too close to call",
    }
    return Numbers(**(values | changes))


def test_the_split_says_what_the_method_did_and_what_the_student_did():
    assert words.split_sentence(numbers()) == (
        "The method itself was 17.7° off to the left at this hour; "
        "the student added 2.1° to the right."
    )


def test_a_flawless_method_and_student_have_no_side():
    sentence = words.split_sentence(numbers(method_error_deg=-0.04, own_error_deg=0.04))
    assert sentence == (
        "The method itself was right at this hour (0.0°); the student added nothing (0.0°)."
    )


def test_the_opposite_way_has_no_side():
    said = words.split_sentence(numbers(method_error_deg=179.97, own_error_deg=180.0))
    assert "left" not in said and "right" not in said
    assert words.turn(-179.96) == "180.0°, the opposite way"


def test_the_result_names_bearing_target_and_side():
    assert words.result_sentence(numbers()) == (
        "The line points to 344.4°; asked for was 0.0°: the result is 15.6° to the left."
    )


def test_a_result_on_the_spot_says_so():
    said = words.result_sentence(numbers(laid_deg=359.98, error_deg=-0.02))
    assert said == "The line points to 0.0°, which is what was asked for."


def test_the_verdict_names_figures_and_rule():
    said = words.verdict_part(numbers(error_deg=14.2, expanded_uncertainty_deg=3.1))
    assert said == (
        "too close to call: 14.2° against 15° with a check good to ±3.1° (guarded rule)"
    )


def test_a_check_without_an_uncertainty_is_not_said_to_be_perfect():
    said = words.verdict_part(
        numbers(error_deg=12.0, verdict="within", expanded_uncertainty_deg=0.0)
    )
    assert said == (
        "within the standard: 12.0° against 15° with a check taken as exact (guarded rule)"
    )


def test_the_plain_rule_leaves_the_uncertainty_out():
    said = words.verdict_part(numbers(error_deg=14.2, verdict="within", rule="plain"))
    assert said == "within the standard: 14.2° against 15° (plain rule)"


def test_the_verdict_is_about_the_own_error_where_that_is_judged():
    said = words.verdict_sentence(numbers(judged_on="own", verdict="within", tolerance_deg=7.5))
    assert said == (
        "Within the standard: 2.1° against 7.5° with a check good to ±3.4° (guarded rule)."
    )


def test_a_verdict_decided_by_hundredths_shows_them():
    said = words.verdict_part(numbers(error_deg=15.04, verdict="outside", rule="plain"))
    assert said == "outside the standard: 15.04° against 15° (plain rule)"


@given(
    st.floats(0, 60),
    st.sampled_from([5.0, 7.5, 15.0]),
    st.floats(0.1, 8.0),
    st.sampled_from(["guarded", "plain"]),
)
def test_printed_figures_agree_with_the_verdict(error, tolerance, uncertainty, rule):
    error, uncertainty = round(error, 2), round(uncertainty, 2)
    verdict = decide(
        [error],
        tolerance_deg=[tolerance],
        expanded_u_deg=[uncertainty],
        guarded=[rule == "guarded"],
    )[0]
    said = words.verdict_part(
        numbers(
            error_deg=error,
            tolerance_deg=tolerance,
            expanded_uncertainty_deg=uncertainty,
            rule=rule,
            verdict=str(verdict),
        )
    )
    shown, limit, *guard = [float(found) for found in re.findall(r"([\d.]+)°", said)]
    half = guard[0] if guard else 0.0
    low, high = limit - half, limit + half
    if verdict == "within":
        assert shown <= low + 1e-9
    elif verdict == "outside":
        assert shown > high - 1e-9
    else:
        assert low - 1e-9 <= shown <= high + 1e-9


def test_the_uncertainty_is_said_in_degrees():
    assert words.uncertainty_part(3.4) == "the check is good to ±3.4°"


def test_a_check_without_uncertainty_is_taken_as_exact():
    assert words.uncertainty_part(0.0) == "the check is taken as exact (±0.0°)"


def test_counting_and_laying_make_up_the_own_error():
    said = words.counting_sentence(numbers(own_error_deg=2.1, counting_error_deg=-4.0))
    assert said == "Counting the hands: 4.0° to the left; laying the line: 6.1° to the right."


def test_no_counting_is_said_where_the_hand_was_never_measured():
    assert words.counting_sentence(numbers()) == ""


def test_a_declared_correction_is_split_into_choosing_and_laying():
    # Method 17.7 left, corrected by 15 right: 2.7 left of right; laid a further 12.9 left.
    said = words.correction_sentence(
        numbers(own_error_deg=-15.6, declared_correction_deg=15.0, correction_error_deg=-2.7)
    )
    assert said == (
        "Declared before the check: 15.0° to the right. Choosing the correction: 2.7° to the "
        "left; laying the line: 12.9° to the left."
    )


def test_a_declared_correction_makes_the_whole_error_the_students():
    said = words.split_sentence(numbers(declared_correction_deg=0.0, correction_error_deg=-17.7))
    assert said.endswith("the student declared a correction, so the whole error is their own.")


def test_the_sideways_miss_is_a_kilometre_times_the_sine():
    # About 17.5 m a kilometre a degree: common practice, no source.
    assert words.miss_sentence(1.0) == "After 1 km along this line: 17 m to the right."
    assert words.sideways_m(-15.6) == pytest.approx(-1000 * math.sin(math.radians(15.6)))


def test_a_line_that_leads_backwards_says_so():
    assert words.miss_sentence(-170.0) == (
        "After 1 km along this line: 174 m to the left. The line leads away from where it should."
    )


@pytest.mark.parametrize(
    ("bearing", "said"), [(359.96, "0.0°"), (-0.02, "0.0°"), (360.0, "0.0°"), (342.34, "342.3°")]
)
def test_bearings_stay_below_360_after_rounding(bearing, said):
    assert words.bearing(bearing) == said


@pytest.mark.parametrize(
    ("value", "said"), [(-17.7, "−17.7° left"), (2.1, "+2.1° right"), (-0.04, "0.0°")]
)
def test_tables_carry_sign_and_side(value, said):
    assert words.signed(value) == said


@given(angles, angles, angles)
def test_no_sentence_has_a_negative_zero_or_a_sign_beside_a_side(error, method, counting):
    own = float(wrap_deg(error - method))
    said = " ".join(
        words.sentences(
            numbers(
                error_deg=error,
                method_error_deg=method,
                own_error_deg=own,
                laid_deg=error % 360.0,
                counting_error_deg=counting,
                marking_scatter_deg=2.0,
            )
        )
    )
    assert not re.search(r"[-−][\d.]+°", said)
    assert not re.search(r"(?<!\d)(0|180)\.0° to the", said)


def test_the_standard_is_said_in_words():
    said = words.standard_sentence(
        target_deg=0.0, tolerance_deg=15.0, judged_on="result", rule="guarded"
    )
    assert "within 15° to either side" in said
    assert said.endswith("so a result near the limit is too close to call.")
