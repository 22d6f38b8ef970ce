"""The words-only face: right for a screen reader, a braille line, a pipe and a script."""
