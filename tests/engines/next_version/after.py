"""Where the made-up migrations join the real ones."""

import pkgutil
from types import ModuleType


def newest(migrations: ModuleType) -> str:
    """The name of the last migration of a package, whatever is added to it in years to come."""
    return max(each.name for each in pkgutil.iter_modules(migrations.__path__))
