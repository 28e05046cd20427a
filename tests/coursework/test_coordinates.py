"""Positions as they are typed and written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from coursework.coordinates import (
    PositionError,
    decimal_text,
    dms_text,
    entry_text,
    mgrs_text,
    parse_position,
    position_texts,
    utm_text,
)

LATITUDES = st.floats(-90.0, 90.0)
GRID_LATITUDES = st.floats(-80.0, 84.0)
LONGITUDES = st.floats(-180.0, 180.0)


def distance_m(one, other) -> float:
    return Geod(ellps="WGS84").inv(one[1], one[0], other[1], other[0])[2]


def refusal(text: str) -> str:
    with pytest.raises(PositionError) as caught:
        parse_position(text)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "46.72, 8.18",
        "46.72 8.18",
        "46.72,8.18",
        "46.72;8.18",
        "46.72 / 8.18",
        "46,72 8,18",
        "46,72; 8,18",
        "46,72, 8,18",
        " +46.72°  8.18° ",
        "46.72N 8.18E",
        "N46.72 E8.18",
        "8.18 E, 46.72 N",
        "46,72 N 8,18 E",
        "46.72 north 8.18 east",
        "46° 43.2' N 8° 10.8' E",
        "46° 43,2′ 8° 10,8′",
        "46 43.2 N 8 10.8 E",
        "N 46 43 12 E 8 10 48",
        "46°43'12\"N, 8°10'48\"E",
        "46º43’12”N 8º10’48”E",
        "46°43′12″ 8°10′48″",
        "46d43'12''n 8d10'48''e",
    ],
)
def test_degrees_are_read_however_they_are_written(text):
    assert parse_position(text) == pytest.approx((46.72, 8.18), abs=1e-9)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-33.5 -70.2", (-33.5, -70.2)),
        ("−33.5, −70.2", (-33.5, -70.2)),
        ("33.5 S 70.2 W", (-33.5, -70.2)),
        ("-0° 30' 0° 30'", (-0.5, 0.5)),
        ("-33° 30' -70° 12'", (-33.5, -70.2)),
        ("46, 72", (46.0, 72.0)),
        ("12N 45W", (12.0, -45.0)),
        ("18S 8E", (-18.0, 8.0)),
        ("0 180", (0.0, 180.0)),
        ("0 -180", (0.0, -180.0)),
        ("90 0", (90.0, 0.0)),
    ],
)
def test_signs_letters_and_the_edges_of_the_globe(text, expected):
    assert parse_position(text) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Write a position."),
        ("nowhere", "is not N, S, E or W"),
        ("46", "is not a latitude and a longitude"),
        ("12 13 14", "is not a latitude and a longitude"),
        ("46,72", "may be decimal or part the numbers"),
        ("46,72,8,18", "may be decimal or part the numbers"),
        ("46,5 8", "may be decimal or part the numbers"),
        ("46.5,8,2", "is not a latitude and a longitude"),
        ("46 43.2 8 10.8", "need their signs"),
        ("46 43 12 8 10 48", "need their signs"),
        ("46 N 8", "E or W with the longitude"),
        ("8 N 46 S", "E or W with the longitude"),
        ("46 N 8 O", "O may be west or east"),
        ("-46 S 8 E", "write only one of them"),
        ("46.5° 30' N 8 E", "Only the last number"),
        ("46° 60' N 8 E", "from 0 to less than 60"),
        ("46° 10' 60\" N 8 E", "from 0 to less than 60"),
        ("46' N 8 E", "degrees, then minutes, then seconds"),
        ("46 N 8 E 3", "behind its number, or each before"),
        ("1 2 3 4 N 8 E", "degrees, minutes and seconds at most"),
        ("90.1 8", "Latitude comes first and is from −90° to 90°"),
        ("91 N 8 E", "Latitude is from −90° to 90°"),
        ("8 180.1", "Longitude is from −180° to 180°"),
        ("46..72 8", "is not understood"),
        ("١٢ ٣", "is not understood"),
        ("38 north 50000 3684706", "easting 50000 is not from"),
        ("38 north 444140 10000001", "northing 10000001 is not from"),
        ("38 north 444,140 3,684,706", "without thousands signs"),
        ("38 north 444 140 3 684 706", "is not a UTM position"),
        ("zone 38", "is not a UTM position"),
        ("61 north 444140 3684706", "There is no zone 61"),
        ("0 north 444140 3684706", "There is no zone 0"),
        ("38I 444140 3684706", "There is no band I"),
        ("38T 444140 3684706", "not in band T"),
        ("38 north 444140 9900000", "not in the hemisphere written, or beyond the grid"),
        ("38 south 444140 900000", "not in the hemisphere written, or beyond the grid"),
        ("31 north 850000 7000000", "outside zone 31"),
        ("32 north 500000 8500000", "outside zone 32"),
        ("32X 500000 8500000", "Zone 32 has no band X"),
        ("34X MN 44140 84706", "Zone 34 has no band X"),
        ("36 X MN 441 847", "Zone 36 has no band X"),
        ("38S 444140 3684706", "S can mean the southern hemisphere or band S"),
        ("38S MB", "too coarse"),
        ("38S MB 4484", "too coarse"),
        ("38S MB 441 84", "equally many"),
        ("38S MB 441400 847060", "more than five figures"),
        ("38S IO 441 847", "no square IO in 38S"),
        ("38N MB 44140 84706", "no square MB in 38N"),
        ("61S MB 441 847", "There is no zone 61"),
        ("32T", "only a grid zone"),
        ("ZAH0000000000", "Polar grid references"),
        ("Z 2000000 2000000", "Polar grid references"),
        ("A 2222222 1777777", "Polar grid references"),
    ],
)
def test_each_bad_text_has_its_own_sentence(text, words):
    assert words in refusal(text)


def test_a_letter_s_that_fits_no_band_s_is_the_hemisphere():
    assert parse_position("38S 444140 6684706") == parse_position("38 south 444140 6684706")


def test_what_is_typed_without_spaces_or_in_small_letters_is_the_same():
    assert parse_position("38smb4414084706") == parse_position("38S MB 44140 84706")


@given(st.tuples(LATITUDES, LONGITUDES))
def test_degrees_written_are_read_back(place):
    for write, within_m in ((entry_text, 0.02), (decimal_text, 1.0), (dms_text, 3.0)):
        assert distance_m(parse_position(write(place)), place) < within_m


@given(st.tuples(GRID_LATITUDES, LONGITUDES))
def test_grids_written_are_read_back(place):
    for write in (utm_text, mgrs_text):
        assert distance_m(parse_position(write(place)), place) < 1.0


@given(st.text(max_size=30))
def test_any_text_is_a_position_or_refused_with_a_sentence(text):
    try:
        latitude_deg, longitude_deg = parse_position(text)
    except PositionError as error:
        assert str(error).endswith(".")
    else:
        assert abs(latitude_deg) <= 90.0 and abs(longitude_deg) <= 180.0


@given(st.from_regex(r"[0-9]{1,2} ?[A-Z] ?[A-Z]{0,2} ?[0-9]{0,7}[ .,]?[0-9]{0,8}", fullmatch=True))
def test_any_grid_like_text_is_a_position_or_refused_with_a_sentence(text):
    try:
        latitude_deg, longitude_deg = parse_position(text)
    except PositionError as error:
        assert str(error).endswith(".")
    else:
        assert abs(latitude_deg) <= 90.0 and abs(longitude_deg) <= 180.0


def test_seconds_that_round_up_carry_over():
    assert dms_text((46.9999999, -8.0)) == "47° 00′ 00.0″ N, 8° 00′ 00.0″ W"


def test_a_field_shows_no_more_digits_than_needed():
    assert entry_text((46.72, -8.0)) == "46.72, -8"
    assert entry_text((-0.0, 0.0)) == "0, 0"


def test_all_four_ways_are_shown_and_beyond_the_grid_it_is_said_why():
    names = [name for name, _text in position_texts((46.72, 8.18))]
    assert names == ["Decimal degrees", "Minutes and seconds", "UTM", "MGRS"]
    texts = [text for _name, text in position_texts((85.0, 8.18))]
    assert texts[2:] == ["Not defined beyond 84° N and 80° S."] * 2
