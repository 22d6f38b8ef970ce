"""The name of one of the debrief's sections, to be clicked."""

from __future__ import annotations

from drill.cockpit.text import Words


class SectionTab(Words):
    """The name of a section, to be clicked."""

    ALLOW_SELECT = False

    def __init__(self, section: str, key: str, name: str) -> None:
        super().__init__(f" {key} {name} ", id=f"tab-{section}")
        self._section = section
        self._text = f"{key} {name}"

    def choose(self, chosen: bool) -> None:
        """Show whether this section is the one shown, by brackets as well as by color."""
        self.say(f"[{self._text}]" if chosen else f" {self._text} ")
        self.set_class(chosen, "-chosen")

    async def on_click(self) -> None:
        """Show this section."""
        await self.screen.run_action(f"section('{self._section}')")
