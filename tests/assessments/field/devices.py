"""A device in a few lines: what it keeps, what it sends, what it makes of an answer.

The real one is `static/field/queue.js`, which the browser tests drive; this one lets thousands of
mishaps be tried against the real service and a real database.
"""

from dataclasses import dataclass, field

from assessments.field.sending import receive
from tests.assessments.field.messages import message, result


@dataclass
class Device:
    """One instructor's device at one drill."""

    person: object
    drill: object
    students: list
    kept: dict = field(default_factory=dict)
    stored: set = field(default_factory=set)
    on_the_way: list = field(default_factory=list)
    sent: int = 0

    def log(self, number: int) -> str:
        item = result(self.drill, self.students[number % len(self.students)])
        self.kept[item["key"]] = item
        return item["key"]

    def put_on_the_way(self, some: int, *, backwards: bool = False) -> None:
        """A message leaves; nobody knows yet whether it arrives."""
        waiting = [item for key, item in self.kept.items() if key not in self.stored]
        batch = waiting[::-1][:some] if backwards else waiting[:some]
        if batch:
            self.on_the_way.append(batch)

    def arrive(self, which: int, *, answered: bool, twice: bool = False) -> None:
        """One message on the way arrives, early or late; its answer comes back or is lost."""
        if not self.on_the_way:
            return
        batch = self.on_the_way.pop(which % len(self.on_the_way))
        for _ in range(2 if twice else 1):
            self.sent += len(batch)
            answers = receive(self.person, message(*batch))
        if answered:
            self.stored |= {
                key for key, answer in answers.items() if answer["state"] in ("stored", "already")
            }

    def lose(self, which: int) -> None:
        """One message on the way never arrives."""
        if self.on_the_way:
            self.on_the_way.pop(which % len(self.on_the_way))

    def crash(self) -> None:
        """The browser is killed: what was on the way goes its own way, what is kept stays."""
        self.on_the_way = self.on_the_way[:1]

    def finish(self) -> None:
        """Signal at last: everything late arrives, everything that waits is sent."""
        while self.on_the_way:
            self.arrive(0, answered=False)
        self.put_on_the_way(1000)
        self.arrive(0, answered=True)
