"""The migrations of assessments, and one after them."""

from assessments import migrations

__path__ = [*migrations.__path__, *__path__]
