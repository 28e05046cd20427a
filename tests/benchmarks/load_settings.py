"""The settings of a school's server, with one page more to measure the others against."""

from coursework.settings import *  # noqa: F403

ROOT_URLCONF = "tests.benchmarks.load_urls"
