import numpy as np

from solar.faults import LONGEST_QUOTED, Faults


def faults_of(**texts):
    rows = len(next(iter(texts.values())))
    return Faults({"method": ["watch"] * rows} | texts)


def test_a_sentence_names_the_column_and_the_value():
    faults = faults_of(lat=["95"])
    faults.put(0, "lat", "it is too far north.")
    assert faults.sentence[0] == "lat “95”: it is too far north."
    assert faults.column[0] == "lat"


def test_a_blank_value_is_called_blank():
    faults = faults_of(lat=[""])
    faults.put(0, "lat", "it is required.")
    assert faults.sentence[0] == "lat is blank: it is required."


def test_the_first_sentence_about_a_row_stands():
    faults = faults_of(lat=["95"], lon=["200"])
    faults.put(0, "lat", "first.")
    faults.put(0, "lon", "second.")
    assert faults.sentence[0] == "lat “95”: first."


def test_one_row_refused_leaves_the_others_sound():
    faults = faults_of(lat=["1", "95", "2"])
    faults.put(1, "lat", "no.")
    assert faults.sound.tolist() == [True, False, True]
    assert faults.sentence.tolist()[::2] == ["", ""]


def test_rows_of_a_group_are_refused_by_their_own_numbers():
    faults = faults_of(lat=["1", "2", "3", "4"])
    faults.put_where(
        np.array([False, True]), "lat", lambda i: f"number {i}.", rows=np.array([1, 3])
    )
    assert faults.sentence.tolist() == ["", "", "", "lat “4”: number 1."]


def test_a_very_long_value_is_cut_short_in_the_sentence():
    faults = faults_of(times=["x" * (LONGEST_QUOTED + 1), "x" * LONGEST_QUOTED])
    faults.put(0, "times", "no.")
    faults.put(1, "times", "no.")
    assert faults.sentence[0] == "times “" + "x" * LONGEST_QUOTED + "…”: no."
    assert faults.sentence[1] == "times “" + "x" * LONGEST_QUOTED + "”: no."


def test_the_time_of_a_check_is_in_the_first_of_three_columns_that_is_filled():
    faults = faults_of(check_time=["c", "", ""], times=["t", "t", ""])
    assert [faults.time_column(row) for row in range(3)] == ["check_time", "times", "date"]
