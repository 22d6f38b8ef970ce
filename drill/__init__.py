"""drill: an emergency-procedure decision trainer for instrument pilots.

Training aid only: not for use in flight, not approved by any authority.
"""

from importlib.metadata import version

__version__ = version("drill")
