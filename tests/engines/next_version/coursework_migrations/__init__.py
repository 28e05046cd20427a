"""The migrations of coursework, and one after them."""

from coursework import migrations

__path__ = [*migrations.__path__, *__path__]
