"""A whole timetable proposed for a cohort: the question, the engine, and the words for it."""
