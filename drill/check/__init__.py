"""What an author needs: every fault of a scenario at once, what looks meant otherwise, and the story explored."""
