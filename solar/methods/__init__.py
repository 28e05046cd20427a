"""The improvised methods, one module each; `lay` in each is the perfect practitioner."""

from solar.methods import equal_shadow, first_last, hands, shadow_tip, shortest_shadow, watch
from solar.methods.base import Group, Laid

MODULES = {
    module.NAME: module
    for module in (shadow_tip, first_last, equal_shadow, shortest_shadow, hands, watch)
}

__all__ = ["MODULES", "Group", "Laid"]
