"""An invented school, its people and two seasons of their results, for demonstrations.

Nothing here is a real school, person or survey. The hills, names and errors are made up; the
sun, the field of the earth and the scoring are the program's own.
"""

SCHOOL = "Arvelune School of Wilderness Travel"
PASSWORD = "north by shadow 26"
"""One for all invented people; the demonstration serves on one's own machine only."""
