"""The debrief on paper: one page that prints, the same in Markdown, and as JSON for programs."""
