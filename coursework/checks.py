"""What `manage.py check` says about how the site is set up."""

from django.conf import settings
from django.core.checks import Tags, Warning, register

LOCAL = "django.core.cache.backends.locmem.LocMemCache"


@register(Tags.caches, deploy=True)
def check_cache_is_shared(app_configs=None, **more) -> list[Warning]:
    """Several processes without a shared cache: each counts tries for itself."""
    if settings.WORKERS == 1 or settings.CACHES["default"]["BACKEND"] != LOCAL:
        return []
    return [
        Warning(
            f"There are {settings.WORKERS} worker processes and no cache that they share.",
            hint=(
                "Limits on guessing are then counted by each process for itself, and years of "
                "hours are computed once in each. Set REDIS_URL, or PLUMBSHADOW_WORKERS=1."
            ),
            id="coursework.W001",
        )
    ]
