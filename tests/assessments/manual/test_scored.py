"""Numbers of the manual are those of the code that scores results."""

import pytest

from assessments.manual import examples, faults, scored
from solar.scoring import score


@pytest.mark.parametrize("method", list(examples._LAID))
def test_the_example_of_a_method_can_be_scored(method):
    assert examples.example_of(method).numbers.method == method


def test_the_worked_example_shows_what_its_last_paragraph_says():
    numbers = examples.worked_example().numbers
    assert abs(numbers.method_error_deg) > numbers.tolerance_deg
    assert numbers.method_error_deg * numbers.own_error_deg < 0
    assert numbers.verdict == "within"


def test_a_cell_of_the_table_is_the_score_of_that_hour():
    row = scored.row_of("watch", scored.NORTHERN, times=[scored.at(scored.DAYS[1], "10:00")])
    alone = score({name: [value] for name, value in row.items()}).columns["method_error_deg"][0]
    assert scored.errors_by_hour("watch", ("10:00",))[0][1] == pytest.approx(alone)


def test_an_hour_without_sun_has_no_number():
    assert scored.errors_by_hour("watch", ("02:00",)) == ((None,) * 4,)


def test_a_refused_row_is_an_error_here():
    row = scored.row_of("watch", scored.NORTHERN, times=[scored.at(scored.DAYS[0], "02:00")])
    with pytest.raises(ValueError, match="sun"):
        scored.scored(row)


def test_a_mark_at_the_suns_noon_has_next_to_no_error():
    assert all(abs(error) < 0.01 for error in scored.shortest_errors((0,))[0])


def test_faults_of_a_shadow_tip_line_are_those_that_the_page_tells_of():
    found = faults.shadow_tip_faults("09:30")
    assert abs(found["longer"]) > 30.0
    assert found["leaning"][0] == pytest.approx(0.0, abs=1e-6)
    assert abs(found["hasty"]) < 0.1
    assert found["hasty_scatter"] == pytest.approx(3 * found["scatter"], rel=0.01)
