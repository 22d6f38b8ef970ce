"""What can be flown but can hardly be meant: each module looks for one sort of it in a scenario that loads."""
