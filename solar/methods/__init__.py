"""The improvised methods, one module each; `lay` in each is the perfect practitioner."""

from solar.methods import (
    equal_shadow,
    first_last,
    hands,
    pole_star,
    shadow_tip,
    shortest_shadow,
    southern_cross,
    watch,
)
from solar.methods.base import Group, Laid

MODULES = {
    module.NAME: module
    for module in (
        shadow_tip,
        first_last,
        equal_shadow,
        shortest_shadow,
        hands,
        watch,
        pole_star,
        southern_cross,
    )
}

__all__ = ["MODULES", "Group", "Laid"]
