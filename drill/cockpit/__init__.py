"""The Textual app: screens, instrument faces, themes. Reads panels and events, sends words."""
