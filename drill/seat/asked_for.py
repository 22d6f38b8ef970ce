"""What is asked for on the command line, looked at before the screen is taken. Light unless it is an author's file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from drill.seat.wording import problem_lines

if TYPE_CHECKING:
    from drill.scenario.model import Scenario


class CannotBegin(Exception):  # noqa: N818 - the user's mistake, or the machine's; no fault of the program
    """A flight cannot be begun or taken up; the message says why, and what to do."""


class NothingToFly(CannotBegin):
    """A record of a flight that has ended, or that only another edition of the model could fly on: debrief it."""


class Unsound(CannotBegin):
    """A scenario's document cannot be flown; each line of the message names a place and what is wrong there."""


def source_of(name: str, phase: str | None = None) -> tuple[Scenario | Path, list[str]]:
    """Return where a shipped scenario stands, to be read after the first paint; or load the file of that name.

    A shipped one is sound; what is wrong with an author's file is said where it was asked for, and so are the warnings
    returned beside it. With `phase` it is loaded, and taken up there. Raises CannotBegin.
    """
    from drill.scenario.shelf import shipped

    if phase is not None:
        from drill.scenario.taking_up import CannotTakeUp, taken_up

        scenario, warnings = _loaded(name)
        try:
            return taken_up(scenario, phase), warnings
        except CannotTakeUp as error:
            raise CannotBegin(str(error)) from error

    known = shipped()
    if name in known:
        return known[name], []
    return _loaded(name)


def scenario_of(name: str) -> Scenario:
    """Return the scenario called `name`, or in the file of that name, loaded. Raises CannotBegin."""
    return _loaded(name)[0]


def _loaded(name: str) -> tuple[Scenario, list[str]]:
    from drill.scenario import DocumentError, ScenarioNotFound, find, load_with_warnings  # with the checker

    try:
        scenario, warnings = load_with_warnings(find(name))
    except ScenarioNotFound as error:
        raise CannotBegin(str(error)) from error
    except DocumentError as error:
        raise Unsound("\n".join(problem_lines(error.problems))) from error
    except OSError as error:
        raise CannotBegin(f"{error.filename or name}: {error.strerror or error}") from error
    return scenario, [str(each) for each in warnings]


def check_record(record: Path | None) -> None:
    """Raise CannotBegin if `record` is named and no new file can be begun there."""
    from drill.seat.keeping import why_not_new

    if record is not None and (wrong := why_not_new(record)):
        raise CannotBegin(f"{record}: {wrong}")
