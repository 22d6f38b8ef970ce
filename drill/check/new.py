"""A scenario written for an author to go on from: it can be flown as it stands, and each part says what it is for."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from drill.airplane.failure import Failure
from drill.airplane.failures import CATALOGUE
from drill.clean import clean_line
from drill.scenario.fitted import PART_OF, is_fitted
from drill.scenario.loading import Airplanes, load_airplane
from drill.scenario.model import Airplane
from drill.scenario.names import COVERABLE, words_of
from drill.scenario.nearest import hint
from drill.scenario.problems import DocumentError

BOARD_TITLE = "On the way to Ollerwick"
AIM = "See that something is wrong, find what, fly on what is left, tell ATC, and make a plan."
CRUISE_SHARE = 0.7
"""Of the never-exceed speed: what these airplanes hold in level flight at moderate power."""
_MUTE = {("transmitter", "goes dead"), ("main bus", "loses all power"), ("avionics bus", "loses power")}
"""Failures after which nothing can be said on the first radio."""
_OTHER_SOURCE = {"static ports": "alternate static"}
"""By part that fails: the switch to a source which every airplane has, and which does not share the failure."""
_PLAIN = re.compile(r"[A-Za-z][\w ',.()/-]*")
_NO_TEXT = {"yes", "no", "on", "off", "true", "false", "null"}


class CannotWrite(ValueError):  # noqa: N818 - an answer to the one who asked
    """No sound scenario can be made of what is wished; the message says why, and what can be wished."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the author wants; failures are (part, how), of several each flight draws one."""

    airplane: str
    failures: tuple[tuple[str, str], ...]
    board_title: str = BOARD_TITLE
    title: str = ""


def failure_named(said: str) -> tuple[str, str]:
    """Return the failure written `part/how`, or by its part alone where that fails in one way; else CannotWrite."""
    part, _, how = (" ".join(each.lower().split()) for each in said.partition("/"))
    ways = [each for known, each in CATALOGUE if known == part]
    if not ways:
        raise CannotWrite(f"no part called `{part}` can fail; {hint(part, sorted({known for known, _ in CATALOGUE}))}")
    if how in ways:
        return part, how
    if not how and len(ways) == 1:
        return part, ways[0]
    raise CannotWrite(f"say how the {part} fails: " + ", ".join(f"`{part}/{each}`" for each in ways))


def fitting(airplane: Airplane) -> list[Failure]:
    """Return the failures that can be seen by themselves in this airplane, of parts that it has."""
    return [each for each in CATALOGUE.values() if _why_not(each, airplane) == ""]


def airplane_named(name: str, airplanes: Airplanes, known: Collection[str] = ()) -> Airplane:
    """Return the airplane; CannotWrite if there is none (`known` are those that there are), or if it is not sound."""
    text = airplanes(name)
    if text is None:
        raise CannotWrite(f"there is no airplane `{name}`; "
                          + (hint(name, sorted(known)) if known else "name one whose document is there"))
    try:
        return load_airplane(text, f"{name}.yaml")
    except DocumentError as error:
        raise CannotWrite(f"the airplane `{name}` is not sound: {error.problems[0]}") from error


def written(wishes: Wishes, airplanes: Airplanes, file: str, known: Collection[str] = ()) -> str:
    """Return the scenario as text, for a file of that name; CannotWrite for what cannot be flown or seen."""
    airplane = airplane_named(wishes.airplane, airplanes, known)
    chosen = [CATALOGUE[each] for each in dict.fromkeys(wishes.failures)]
    if not chosen:
        raise CannotWrite("no failure is chosen")
    for failure in chosen:
        if why := _why_not(failure, airplane):
            raise CannotWrite(why)
    made = [_made(failure, chosen, airplane) for failure in chosen]
    title = wishes.title or " or ".join(f"{each.part} {each.how}" for each in chosen)
    environment = Environment(  # noqa: S701 - what is written is YAML and no page; `y` quotes what comes from outside
        loader=PackageLoader("drill.check", "."), undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["y"] = _quoted
    return environment.get_template("new.yaml.j2").render(
        file=clean_line(file), title_line=clean_line(wishes.board_title), board_title=clean_line(wishes.board_title),
        title=clean_line(f"{title[:1].upper()}{title[1:]}", limit=120), aim=AIM, airplane=airplane.name,
        callsign=f"{str(airplane.title).split()[0]} 4418T", failures=made, known=_known(made),
        airspeed=5 * round(CRUISE_SHARE * airplane.airframe.never_exceed_kt / 5.0),
        autopilot=any(each.part == "autopilot" for each in chosen),
    )


def _why_not(failure: Failure, airplane: Airplane) -> str:
    if not is_fitted(failure.part, airplane.airframe):
        return f"the {airplane.title} has no {failure.part}; choose another airplane (--airplane) or another failure"
    if not failure.named_right_as:
        return (f"a {failure.part} that {failure.how} shows nothing by itself; begin with another failure, and put "
                "this one beside it later")
    return ""


def _made(failure: Failure, chosen: Sequence[Failure], airplane: Airplane) -> dict[str, Any]:
    """Return what the template asks of one failure."""
    alone = sum(each.part == failure.part for each in chosen) == 1
    name = failure.part if alone else f"{failure.part} {failure.how}"
    called = next((next(iter(each)) for each in failure.named_right_as if len(each) == 1), "")
    looks = [words_of(each) for each in failure.revealed_by if is_fitted(PART_OF.get(each, each), airplane.airframe)]
    return {
        "part": failure.part, "how": failure.how, "says": failure.says, "name": name, "called": words_of(called),
        "of": "" if len(chosen) == 1 else f" ({name})",
        "cover": words_of(_covered(called)) if _covered(called) else "",
        "looks": f"look {looks[0]}" if len(looks) == 1 else f"{{any: [{', '.join(f'look {each}' for each in looks)}]}}",
        "look_example": f"look at the {looks[0]}",
        "mended_by": _OTHER_SOURCE.get(failure.part, ""), "tells": failure.key not in _MUTE,
    }


def _covered(called: str) -> str:
    """Return the instrument to be covered when what is called so has failed; "" where nothing is."""
    instead = {"vacuum_system": "attitude_indicator", "pitot": "airspeed_indicator", "static_system": "altimeter"}
    instrument = instead.get(called, called)
    return instrument if instrument in COVERABLE else ""


def _known(made: Sequence[dict[str, Any]]) -> str:
    said = [f"did diagnose {each['called']}" for each in made]
    said = list(dict.fromkeys(said))
    return said[0] if len(said) == 1 else f"{{any: [{', '.join(said)}]}}"


def _quoted(text: str) -> str:
    """Return text as YAML: as it is where nothing in it means anything, else in quotes."""
    plain = _PLAIN.fullmatch(text) is not None and text.lower() not in _NO_TEXT and not text.endswith(" ")
    return text if plain else json.dumps(text, ensure_ascii=False)
