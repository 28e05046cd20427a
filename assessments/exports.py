"""What stands in the columns of the lists of results, corrections, certificates and notes."""

from assessments.models.revisions import SCORE_FIELDS
from coursework.listing import Column


def _score(name: str) -> Column:
    return name, lambda attempt: getattr(attempt.current, name)


RESULTS: list[Column] = [
    ("attempt", lambda attempt: attempt.key),
    ("observed", lambda attempt: attempt.current.local_observed_at),
    ("student", lambda attempt: attempt.student.name),
    ("username", lambda attempt: attempt.student.username),
    ("exercise", lambda attempt: attempt.exercise.title),
    ("method", lambda attempt: attempt.method),
    ("site", lambda attempt: attempt.drill.site.name),
    ("assessed", lambda attempt: attempt.assessed),
    ("verdict", lambda attempt: attempt.current.verdict),
    ("no result because", lambda attempt: attempt.current.no_result_words),
    _score("score_value"),
    _score("score_unit"),
    _score("score_expanded_u"),
    *[_score(name) for name in SCORE_FIELDS],
    ("tolerance", lambda attempt: attempt.current.tolerance),
    ("judged_on", lambda attempt: attempt.current.inputs["judged_on"]),
    ("rule", lambda attempt: attempt.current.inputs["rule"]),
    ("assessor", lambda attempt: attempt.current.facts.get("assessor", "")),
    ("sky", lambda attempt: attempt.current.sky),
    ("ground", lambda attempt: attempt.current.ground),
    ("remark", lambda attempt: attempt.current.remark),
    ("revision", lambda attempt: attempt.current.number),
    ("reason for the correction", lambda attempt: attempt.current.reason),
]
CERTIFICATES: list[Column] = [
    ("certificate", lambda packet: packet.number_in_groups),
    ("certification", lambda packet: packet.certification.title),
    ("holder", lambda packet: packet.holder),
    ("issued", lambda packet: packet.issued_on),
    ("last day", lambda packet: packet.expires_on),
    ("issued by", lambda packet: packet.issuer),
]
NOTES: list[Column] = [
    ("noted", lambda note: note.made_at),
    ("noted by", lambda note: note.noted_by.name),
    ("about", lambda note: note.about),
    ("why it is no result", lambda note: note.reason),
    ("entered", lambda note: "; ".join(f"{name}: {text}" for name, text in note.said)),
    ("cohort", lambda note: note.cohort.name if note.cohort else ""),
    ("dealt with", lambda note: note.settled_at),
    ("dealt with by", lambda note: note.settled_by.name if note.settled_by else ""),
]
CORRECTIONS: list[Column] = [
    ("corrected", lambda revision: revision.recorded_at),
    ("by", lambda revision: revision.recorded_by.name),
    ("reason", lambda revision: revision.reason),
    ("attempt", lambda revision: revision.attempt.key),
    ("revision", lambda revision: revision.number),
    ("student", lambda revision: revision.attempt.student.name),
    ("exercise", lambda revision: revision.facts["exercise"]),
    ("observed", lambda revision: revision.local_observed_at),
    ("outcome", lambda revision: revision.outcome),
    ("outcome before", lambda revision: revision.outcome_before),
]
