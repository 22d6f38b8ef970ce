"""Words that change many times a second, and lay the screen out anew only when they need other rows."""

from __future__ import annotations

from textual.content import Content

from drill.cockpit.text import Words, literal


class Told(Words):
    """Words in a place of given width. The same number of rows as before moves nothing else on the screen."""

    def say(self, text: Content | str) -> None:
        """Show `text` in place of what stood there."""
        content = literal(text)
        if content.is_same(self._said):
            return
        columns = self.content_size.width
        stays = columns > 0 and len(content.wrap(columns)) == len(self._said.wrap(columns))
        self._said = content
        self.update(content, layout=not stays)
