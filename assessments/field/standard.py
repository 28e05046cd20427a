"""Whether a drill still asks what it asked when a result was noted."""

import hashlib
import json

from coursework.models import Drill


def standard_tag(drill: Drill) -> str:
    """A short mark of task and standard: another one means that either was changed.

    The site's surroundings are not in it: a skyline that was mended is no other task.
    """
    exercise = drill.exercise
    facts = [
        exercise.pk,
        exercise.method,
        exercise.target_deg,
        exercise.tolerance,
        exercise.judged_on,
        exercise.rule,
        exercise.steps,
        drill.assessed,
        drill.site_id,
    ]
    return digest(facts)[:16]


def digest(value) -> str:
    """SHA-256 of a JSON value, whatever the order of its members."""
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
