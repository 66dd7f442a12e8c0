"""The compiler for hot loops, and where it keeps what it compiled: the user's cache folder.

Not beside the sources: files left there outlive an uninstall, and the empty package they keep alive hides a newer one.
"""

from __future__ import annotations

from numba import config, njit
from platformdirs import user_cache_path

from nesting.version import VERSION

if not config.CACHE_DIR:  # type: ignore[attr-defined]
    config.CACHE_DIR = str(user_cache_path("steelyard") / f"compiled-{VERSION}")  # type: ignore[attr-defined]

__all__ = ["njit"]
