"""Places of the sun against published tables and worked examples."""

import erfa
import numpy as np
import pytest

from solar.ephemeris import declination_and_hour_angle, sun_position

pytestmark = pytest.mark.reference


def paper_refraction_deg(true_elevation_deg, pressure_hpa, temperature_c):
    """Equation 42 of NREL/TP-560-34302, for the weather that a published row assumes."""
    bend = np.tan(np.radians(true_elevation_deg + 10.3 / (true_elevation_deg + 5.11)))
    return (pressure_hpa / 1010.0) * (283.0 / (273.0 + temperature_c)) * 1.02 / (60.0 * bend)


def right_ascension_deg(time):
    """From the hour angle at Greenwich and ERFA's sidereal time (IAU 2006/2000A)."""
    _, hour_angle = declination_and_hour_angle(np.array([time]), longitude_deg=0.0)
    days = (time - np.datetime64("2000-01-01T12:00:00", "us")) / np.timedelta64(1, "D")
    sidereal = np.degrees(erfa.gst06a(2451545.0, days, 2451545.0, days + 64.0 / 86_400))
    return float((sidereal - hour_angle[0]) % 360.0)


class TestNrelTable:
    """Reda & Andreas, NREL/TP-560-34302 (rev. 2008), table A5.1."""

    TIME = np.datetime64("2003-10-17T19:30:30", "us")
    PLACE = {"latitude_deg": 39.742476, "longitude_deg": -105.1786, "elevation_m": 1830.14}

    def test_azimuth(self):
        azimuth, _ = sun_position(self.TIME, **self.PLACE)
        assert azimuth == pytest.approx(194.34024, abs=0.0001)

    def test_zenith_in_the_weather_of_the_table(self):
        _, true = sun_position(self.TIME, **self.PLACE, refraction=False)
        apparent = true + paper_refraction_deg(true, 820.0, 11.0)
        assert 90.0 - apparent == pytest.approx(50.11162, abs=0.0001)

    def test_geocentric_declination_and_right_ascension(self):
        declination, _ = declination_and_hour_angle(
            np.array([self.TIME]), longitude_deg=self.PLACE["longitude_deg"]
        )
        assert declination[0] == pytest.approx(-9.31434, abs=0.0001)
        assert right_ascension_deg(self.TIME) == pytest.approx(202.22741, abs=0.0002)


@pytest.mark.parametrize(
    ("time", "latitude_deg", "longitude_deg", "azimuth_deg", "zenith_deg"),
    [
        ("2010-03-15T18:30", -36.840556, 174.74, 91.554972, 88.465367),
        ("2010-06-15T12:30", -15.793889, -47.882778, 46.250557, 55.629466),
        ("2010-03-15T12:30", 78.22, 15.65, 201.172973, 80.964845),
        ("2010-06-15T00:30", 1.283333, 103.833333, 65.623548, 69.984593),
    ],
)
def test_rows_of_the_nrel_program_at_four_corners_of_the_world(
    time, latitude_deg, longitude_deg, azimuth_deg, zenith_deg
):
    # NREL's spa.c, 1000 mbar and 10 C. It was run with Delta T 0; the 66 s that this leaves
    # out move the sun by up to 0.0008 degrees.
    azimuth, true = sun_position(
        np.datetime64(time, "us"),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        refraction=False,
    )
    assert azimuth == pytest.approx(azimuth_deg, abs=0.0009)
    apparent = true + paper_refraction_deg(true, 1000.0, 10.0)
    assert 90.0 - apparent == pytest.approx(zenith_deg, abs=0.0009)


class TestMeeus:
    """Meeus, Astronomical Algorithms, 1992 October 13, 0h TD (UT: 59 s earlier)."""

    TIME = np.datetime64("1992-10-12T23:59:01", "us")

    def test_example_25b_declination(self):
        declination, _ = declination_and_hour_angle(np.array([self.TIME]), longitude_deg=0.0)
        assert declination[0] == pytest.approx(-(7 + 47 / 60 + 1.74 / 3600), abs=1 / 3600)

    def test_example_25b_right_ascension(self):
        expected = 15.0 * (13 + 13 / 60 + 30.749 / 3600)
        assert right_ascension_deg(self.TIME) == pytest.approx(expected, abs=1 / 3600)

    def test_example_28a_equation_of_time(self):
        # Apparent less mean time: the hour angle at Greenwich against 0h UT less 59 s. Meeus
        # takes the mean sun at 0h TD too, which in those 59 s moves 0.16 s of time.
        _, hour_angle = declination_and_hour_angle(np.array([self.TIME]), longitude_deg=0.0)
        equation_s = (float(hour_angle[0]) + 180.0) % 360.0 * 240.0 + 59.0 + 0.16
        assert equation_s == pytest.approx(13 * 60 + 42.6, abs=0.15)


@pytest.mark.parametrize(("hours", "degrees", "minutes"), [(3, 130, 27), (4, 118, 45)])
def test_old_azimuth_table_at_latitude_38_declination_12_of_contrary_name(hours, degrees, minutes):
    # An azimuth table of the days of sail, whole minutes of arc, good to one of them.
    # The declination passes 12 degrees south near 2025-02-16; the hour angle is then met by
    # choosing the longitude.
    times = np.arange("2025-02-15", "2025-02-19", np.timedelta64(1, "m"), dtype="datetime64[m]")
    declination, greenwich = declination_and_hour_angle(times, longitude_deg=0.0)
    at = int(np.argmin(np.abs(declination + 12.0)))
    azimuth, _ = sun_position(
        times[at],
        latitude_deg=38.0,
        longitude_deg=(-15.0 * hours - greenwich[at] + 180.0) % 360.0 - 180.0,
        refraction=False,
    )
    assert azimuth == pytest.approx(degrees + minutes / 60, abs=1 / 60)


@pytest.mark.parametrize("rising", [True, False])
def test_amplitude_at_latitude_51_declination_19(rising):
    # Bowditch, American Practical Navigator, amplitude table: 31.2 degrees for the sun's centre
    # on the celestial horizon, which the sun's parallax sets 0.0024 degrees above its place
    # seen from the ground; the declination passes 19 degrees north near 2025-05-15.
    times = np.arange("2025-05-13", "2025-05-18", np.timedelta64(1, "m"), dtype="datetime64[m]")
    declination, _ = declination_and_hour_angle(times, longitude_deg=0.0)
    at = int(np.argmin(np.abs(declination - 19.0)))
    longitudes = np.linspace(-180.0, 180.0, 36_001)
    azimuth, elevation = sun_position(
        times[at], latitude_deg=51.0, longitude_deg=longitudes, refraction=False
    )
    half = (azimuth < 180.0) if rising else (azimuth > 180.0)
    on_horizon = azimuth[half][np.argmin(np.abs(elevation[half] + 0.0024))]
    amplitude = 90.0 - on_horizon if rising else on_horizon - 270.0
    assert amplitude == pytest.approx(31.2, abs=0.05)
