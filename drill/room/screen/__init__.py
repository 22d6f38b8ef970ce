"""The facilitator's screen: the evening in one view, in the terminal. It calls the host and nothing else."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.net.app import Running


async def facilitate(host: Host, running: Running) -> None:
    """Show the screen of `host`, which is served as `running` says, until the facilitator leaves it.

    Cancelled, it gives the terminal back first. CannotServe, in words, if the screen cannot be shown or has failed.
    """
    gray = bool(os.environ.get("NO_COLOR"))    # the toolkit takes it out of the environment

    from drill.room.screen.app import shown

    await shown(host, running, gray=gray)
