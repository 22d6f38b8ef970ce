"""Plain English in, meaning out: what a pilot types in the cockpit and says on the radio."""

from drill.language.calls import read_call
from drill.language.reader import read

__all__ = ["read", "read_call"]
