"""The instrument panel on the screen: a face for each instrument, the compact table, one face filling it all.

Data comes down by `PanelView.show`; which face was clicked goes up as `FaceView.Picked`. A face is drawn when its
quantised reading has changed.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Container
from textual.message import Message
from textual.strip import Strip

from drill.airplane.airframe import Airframe
from drill.airplane.dials import SUCTION_GREEN_INHG, airspeed_arcs, rpm_green
from drill.cockpit.faces import all_faces
from drill.cockpit.faces.face import Dial, Face, Shown, SpeedArc, covered_face
from drill.cockpit.faces.readings import readings_rows, rows_key
from drill.cockpit.flying.arrangement import Arrangement
from drill.cockpit.ink import Ink
from drill.cockpit.strips import Strips
from drill.cockpit.themes import ink_of
from drill.flight.readings import absent, instrument_name, reading_words

SIX = ("airspeed_indicator", "attitude_indicator", "altimeter", "turn_coordinator", "heading_indicator",
       "vertical_speed_indicator")
"""The six in their usual places: two rows of three."""

LESSER = ("magnetic_compass", "course_needle", "navigation", "clock", "suction_gauge", "ammeter", "voltmeter",
          "tachometer")
"""Two rows of four below."""

STANDBY = "standby_instrument"
LAMPS = ("autopilot", "radio", "transponder")
"""In a column of their own at the right of the lesser ones: the standby attitude indicator above what is on or dark."""

ALL = (*SIX, *LESSER, STANDBY, *LAMPS)
_COVERED: Hashable = ("covered",)
_NOTHING: Hashable = ("nothing yet",)


def dial_of(airframe: Airframe) -> Dial:
    """Return what is printed on the faces of an airplane of this type."""
    arcs = tuple(SpeedArc(each.colour, each.low, each.high) for each in airspeed_arcs(airframe))
    return Dial(arcs=arcs, suction_green=SUCTION_GREEN_INHG, low_vacuum_light=airframe.low_vacuum_light_fitted,
                gps=airframe.gps_fitted, rpm_green=rpm_green(airframe), without=absent(airframe))


class ReadingStrips(Strips):
    """Strips drawn from readings, while they are on the screen, whenever `_key_now` of them has changed."""

    def __init__(self, dial: Dial, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._dial = dial
        self._ink = Ink()
        self._shown: Shown = {}
        self._covered: tuple[str, ...] = ()
        self._key: Hashable = _NOTHING

    def take_ink(self, ink: Ink) -> None:
        """Draw with `ink` from now on."""
        self._ink = ink
        self._draw()

    def show(self, shown: Shown, covered: Collection[str]) -> None:
        """Show the readings; nothing is drawn while they look the same, or while they are not on the screen."""
        self._shown, self._covered = shown, tuple(covered)
        if not self.size.area or not self.is_on_screen:
            self._key = _NOTHING
        elif self._key != self._key_now():
            self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        del event
        self._draw()

    def on_show(self) -> None:
        """Draw what was not drawn while it was hidden."""
        self._draw()

    def _draw(self) -> None:
        if self.size.area and self._shown:
            self._key = self._key_now()
            self.put(self._drawn(*self.size))

    def _key_now(self) -> Hashable:
        raise NotImplementedError

    def _drawn(self, width: int, height: int) -> list[Strip]:
        raise NotImplementedError


class FaceView(ReadingStrips):
    """One instrument."""

    class Picked(Message):
        """A face was clicked."""

        def __init__(self, code: str) -> None:
            super().__init__()
            self.code = code

    def __init__(self, code: str, face: Face, dial: Dial, **kwargs: Any) -> None:
        super().__init__(dial, **kwargs)
        self.code = code
        self._face = face

    def turn_into(self, code: str, face: Face) -> None:
        """Show another instrument from now on."""
        self.code, self._face, self._key = code, face, _NOTHING

    def describe(self) -> str:
        """Return in words what the face shows."""
        return reading_words(self.code, self._shown, self._covered) if self._shown else ""

    def on_click(self) -> None:
        """Tell the screen."""
        self.post_message(self.Picked(self.code))

    def _key_now(self) -> Hashable:
        if self.code in self._covered:
            return _COVERED
        return self._face.key(self._shown, self._dial)

    def _drawn(self, width: int, height: int) -> list[Strip]:
        if self._key == _COVERED:
            return covered_face(self._face.title, width, height, self._ink)
        return self._face.draw(self._key, width, height, self._ink, self._dial)


class ReadingsView(ReadingStrips):
    """Every instrument but the attitude indicator as a row with a small bar."""

    def _key_now(self) -> Hashable:
        return rows_key(self._shown, self._covered)

    def _drawn(self, width: int, height: int) -> list[Strip]:
        return readings_rows(self._shown, self._covered, self._dial, width, height, self._ink,
                             skip=("attitude_indicator",))


class PanelView(Container):
    """All instruments of one airplane."""

    DEFAULT_CSS = """
    PanelView {
        layout: vertical; height: 1fr; width: auto;
        #six { layout: grid; grid-size: 3 2; grid-rows: 1fr; grid-columns: 1fr; height: auto; }
        #lesser { layout: horizontal; height: 1fr; }
        #gauges { layout: grid; grid-size: 4 2; grid-rows: 1fr; grid-columns: 1fr; width: 1fr; height: 1fr; }
        #side { layout: vertical; width: 12; height: 1fr; margin-left: 1; }
        #side.-standby { width: 20; }
        #lamps { layout: vertical; height: 1fr; }
        #readings, #filled { display: none; width: 1fr; height: 1fr; }
        #readings { margin-left: 1; }
        FaceView { width: 1fr; height: 1fr; pointer: pointer; }
        &.-compact {
            layout: horizontal;
            #six { grid-size: 1 1; }
            #six > FaceView { display: none; }
            #six > #six-attitude_indicator { display: block; }
            #lesser { display: none; }
            #readings { display: block; }
        }
        &.-filled {
            #six, #lesser, #readings { display: none; }
            #filled { display: block; }
        }
    }
    """
    ORDER: ClassVar[tuple[str, ...]] = ALL

    def __init__(self, dial: Dial, *, plain: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._dial = dial
        self._faces = all_faces()
        self._plain = plain
        self._six = tuple(STANDBY if code in dial.without and STANDBY not in dial.without else code for code in SIX)
        self.ring = tuple(code for code in (*self._six, *(each for each in ALL if each not in SIX))
                          if code not in dial.without)
        self._now: tuple[Shown, tuple[str, ...]] | None = None
        self._views: list[ReadingStrips] = []    # kept: to ask the tree for them ten times a second would cost more
        self.filled = ""

    def compose(self) -> ComposeResult:
        """Lay out every face; what is seen of them is a matter of style."""
        with Container(id="six"):
            yield from (self._face(code, f"six-{code}") for code in self._six)
        with Container(id="lesser"):
            with Container(id="gauges"):
                yield from (self._face(code, f"lesser-{code}") for code in LESSER)
            beside = STANDBY in self.ring and STANDBY not in self._six
            with Container(id="side", classes="-standby" if beside else ""):
                if beside:
                    yield self._face(STANDBY, f"lesser-{STANDBY}")
                with Container(id="lamps"):
                    yield from (self._face(code, f"lesser-{code}") for code in LAMPS if code in self.ring)
        readings = ReadingsView(self._dial, id="readings")
        self._views.append(readings)
        yield readings
        yield self._face(SIX[0], "filled")

    def on_mount(self) -> None:
        """Take the theme's ink, now and whenever it changes."""
        self.app.theme_changed_signal.subscribe(self, lambda _theme: self.take_ink())
        self.take_ink()

    def take_places(self, into: Arrangement) -> None:
        """Stand as `into` says."""
        self.set_class(into.size == "compact", "-compact")
        six = self.query_one("#six")
        if into.size == "compact":
            self.styles.width, self.styles.height = "100%", into.panel_rows
            six.styles.width, six.styles.height = into.face_columns, into.face_rows
        else:
            self.styles.width, self.styles.height = into.panel_columns, "1fr"
            six.styles.width, six.styles.height = 3 * into.face_columns, 2 * into.face_rows

    def show(self, shown: Shown, covered: Iterable[str]) -> None:
        """Show the readings `shown`; the instruments `covered` are covered."""
        self._now = (shown, tuple(covered))
        for view in self._views:
            view.show(*self._now)

    def fill(self, code: str) -> None:
        """Let one instrument fill the panel; an empty `code`: all of them again."""
        self.filled = code if code in self.ring else ""
        if self.filled:
            self.query_one("#filled", FaceView).turn_into(code, self._faces[code])
        self.set_class(bool(self.filled), "-filled")
        self.call_after_refresh(self._show_again)

    def fill_next(self, step: int) -> None:
        """Fill the panel with the next (1) or previous (-1) instrument, after the last with none."""
        ring = ("", *dict.fromkeys(self.ring))
        self.fill(ring[(ring.index(self.filled) + step) % len(ring)])

    def take_ink(self, *, plain: bool | None = None) -> None:
        """Draw in the colors of the theme, `plain` with ASCII characters only."""
        self._plain = self._plain if plain is None else plain
        ink = ink_of(self.app.theme_variables, plain=self._plain)
        self.styles.background = ink.panel
        for view in self._views:
            view.take_ink(ink)

    def _face(self, code: str, name: str) -> FaceView:
        view = FaceView(code, self._faces[code], self._dial, id=name)
        self._views.append(view)
        return view

    def _show_again(self) -> None:
        if self._now is not None and self.is_mounted:
            self.show(*self._now)


def face_titles() -> list[tuple[str, str]]:
    """Return (code, name) of every instrument that can fill the panel."""
    return [(code, instrument_name(code)) for code in ALL]
