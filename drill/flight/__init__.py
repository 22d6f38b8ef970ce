"""The run: one flight of one scenario, moved by time and acts, written down as it happens.

Rules of this room. Time is counted in whole steps of 0.1 s. What happens depends on the scenario, the seed and the
acts alone, never on the clock on the wall or on how the time was cut up. Only `Flight` holds anything that changes;
everything below it is a function from one frozen state to the next. Nothing here knows of grading or of screens.
"""
