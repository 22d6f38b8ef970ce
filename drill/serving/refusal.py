"""How serving is refused: light, for the command line and the server alike."""


class CannotServe(Exception):  # noqa: N818 - an answer in words, for the one who asked
    """The server cannot begin; the message says why and what to do."""


class UnsoundScenario(CannotServe):
    """The scenario to serve has mistakes; the message is a line for each, with file, line and column."""
