"""drill: an emergency-procedure decision trainer for instrument pilots.

Training aid only: not for use in flight, not approved by any authority.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    __version__: str
else:

    def __getattr__(name: str) -> str:
        if name != "__version__":
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib.metadata import version  # slow, and seldom asked for

        return version(__name__)
