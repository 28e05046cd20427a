"""A proposal as it goes to the page and back: signed, changed by hand, taken back."""

from collections.abc import Callable
from dataclasses import astuple, dataclass, replace
from datetime import timedelta

from django.core import signing

from coursework.timetable.problem import Answer, Missing, Placed

_SALT = "coursework.timetable"
_KEPT_FOR = timedelta(hours=12)
MOST_STEPS = 8
"""How many earlier proposals the page carries, to go back to."""


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """Sessions in the order they are shown in, and of them those that are kept.

    `more` and `cost_less` as in `Answer`; None once something was changed by hand. `seen`: the
    sentences of what speaks against it, as they were shown.
    """

    placed: tuple[Placed, ...] = ()
    kept: frozenset[Placed] = frozenset()
    missing: tuple[Missing, ...] = ()
    more: int | None = None
    cost_less: int | None = None
    seen: tuple[str, ...] = ()

    @classmethod
    def of(cls, answer: Answer, kept: frozenset[Placed]) -> "Proposal":
        return cls(
            placed=tuple(sorted({*answer.placed, *kept})),
            kept=kept,
            missing=answer.missing,
            more=answer.more,
            cost_less=answer.cost_less,
        )

    @property
    def is_by_hand(self) -> bool:
        return self.more is None

    @property
    def is_best(self) -> bool:
        return self.more == 0 and self.cost_less == 0

    def keeping(self, numbers: set[str]) -> "Proposal":
        """With the sessions of these numbers kept, as they are ticked, and no others."""
        kept = frozenset(one for n, one in enumerate(self.placed) if str(n) in numbers)
        return replace(self, kept=kept)

    def with_changed(self, number: int, new: Placed) -> "Proposal":
        """One session as it was put by hand, and kept.

        Where it goes to another group, that group's session of the same task takes the group
        that was left, and is kept too; where there is none, the group left goes without.
        """
        old = self.placed[number]
        placed = {one for n, one in enumerate(self.placed) if n != number} | {new}
        kept = (self.kept - {old}) | {new}
        missing = self.missing
        if new.party != old.party:
            other = _of(self.placed, old.task, new.party)
            if other is not None:
                swapped = replace(other, party=old.party)
                placed = (placed - {other}) | {swapped}
                kept = (kept - {other}) | {swapped}
            else:
                missing = tuple(
                    replace(one, party=old.party, why="by-hand")
                    if (one.task, one.party) == (new.task, new.party)
                    else one
                    for one in missing
                )
        return Proposal(placed=tuple(sorted(placed)), kept=frozenset(kept), missing=missing)

    def signed(self, cohort: int) -> str:
        return signing.dumps(
            {
                "of": cohort,
                "placed": [astuple(one) for one in self.placed],
                "kept": [n for n, one in enumerate(self.placed) if one in self.kept],
                "missing": [astuple(one) for one in self.missing],
                "could": [self.more, self.cost_less],
                "seen": self.seen,
            },
            salt=_SALT,
            compress=True,
        )

    @classmethod
    def read(cls, text: str, cohort: int) -> "Proposal | None":
        """None where there is none, or it is too old or not ours."""
        try:
            found = signing.loads(text, salt=_SALT, max_age=_KEPT_FOR)
        except signing.BadSignature:
            return None
        if found["of"] != cohort:
            return None
        placed = tuple(
            Placed(start=s, place=p, task=t, party=g, workers=tuple(w), cost=c)
            for s, p, t, g, w, c in found["placed"]
        )
        return cls(
            placed=placed,
            kept=frozenset(placed[n] for n in found["kept"]),
            missing=tuple(Missing(task=t, party=p, why=why) for t, p, why in found["missing"]),
            more=found["could"][0],
            cost_less=found["could"][1],
            seen=tuple(found["seen"]),
        )

    def fits(self, known: Callable[[Placed], bool]) -> bool:
        """Whether all that it speaks of is still asked for."""
        return all(known(one) for one in self.placed)


def _of(placed: tuple[Placed, ...], task: int, party: int) -> Placed | None:
    return next((one for one in placed if (one.task, one.party) == (task, party)), None)
