"""The same flights in this model and in the general-purpose flight-dynamics library jsbsim, with its own light single.

`python -m airplane.flight_dynamics`, from the folder `tests`, prints the figures side by side. The library's airplane
is taken at 1,880 lb with its wing of 174 sq ft and 160 hp, and this model is given the same mass, wing and rated
power; what else differs is said beside each comparison.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from drill.airplane import FLOATS, Airframe, Controls, World, atmosphere, motion
from drill.airplane.constants import DEG, FOOT, FPM, KNOT, RAD, G

POUND_KG, POUND_N, HORSEPOWER_KW = 0.45359237, 4.4482216, 0.745700
ALTITUDE_FT = 3_000.0
STILL = (0.0,) * 4
LIKE_THEIRS = Airframe(mass_kg=1_880.0 * POUND_KG, wing_area_m2=174.0 * FOOT * FOOT, power_kw=160.0 * HORSEPOWER_KW)
WORLD = World(LIKE_THEIRS)
LEVEL, TURN = 1, 5   # the library's kinds of trim


class Theirs:
    """The library's airplane, trimmed in level flight or in a level turn at a calibrated airspeed."""

    def __init__(self, kcas: float, *, bank_deg: float = 0.0, altitude_ft: float = ALTITUDE_FT) -> None:
        import jsbsim

        self.run: Any = jsbsim.FGFDMExec(None)
        self.run.set_debug_level(0)
        self.run.load_model("c172p")
        for name, value in (("h-sl-ft", altitude_ft), ("vc-kts", kcas), ("gamma-deg", 0.0), ("phi-deg", bank_deg)):
            self.run[f"ic/{name}"] = value
        self.run.run_ic()
        self.run["propulsion/set-running"] = -1
        self.run["fcs/mixture-cmd-norm"] = 0.87
        self.run["simulation/do_simple_trim"] = TURN if bank_deg else LEVEL

    @property
    def tas_mps(self) -> float:
        return float(self.run["velocities/vt-fps"]) * FOOT

    @property
    def thrust_n(self) -> float:
        return float(self.run["propulsion/engine/thrust-lbs"]) * POUND_N

    @property
    def throttle(self) -> float:
        return float(self.run["fcs/throttle-cmd-norm"])

    @property
    def turn_dps(self) -> float:
        return float(self.run["velocities/psidot-rad_sec"]) * RAD

    def along_mps2(self, throttle: float) -> float:
        """Acceleration along the path a second or two after a step of throttle, without gravity's part."""
        self.run["fcs/throttle-cmd-norm"] = throttle
        seen = []
        while self.run["simulation/sim-time-sec"] < 2.5:
            self.run.run()
            seen.append((self.run["simulation/sim-time-sec"], self.tas_mps, self.run["flight-path/gamma-rad"]))
        t, tas, path = np.array(seen).T
        return float((np.gradient(tas, t) + G * np.sin(path))[t > 1.5].mean())

    def phugoid_s(self) -> float:
        """Period of the speed after a short push, controls fixed, wings held level."""
        held, seen = self.run["fcs/elevator-cmd-norm"], []
        while self.run["simulation/sim-time-sec"] < 90.0:
            t = self.run["simulation/sim-time-sec"]
            self.run["fcs/elevator-cmd-norm"] = held - (0.03 if 1.0 < t < 4.0 else 0.0)
            self.run["fcs/aileron-cmd-norm"] = (-0.5 * self.run["attitude/phi-rad"]
                                                - 0.2 * self.run["velocities/p-rad_sec"])
            self.run.run()
            seen.append((t, self.tas_mps))
        return period_s(np.array(seen)[480:])


def period_s(seen: Any) -> float:
    """Mean time between upward crossings of the mean, of rows (time, speed)."""
    t, away = seen[:, 0], seen[:, 1] - seen[:, 1].mean()
    ups = t[1:][(away[:-1] < 0.0) & (away[1:] >= 0.0)]
    return float(np.diff(ups).mean())


def ours(kcas: float, altitude_ft: float = ALTITUDE_FT) -> motion.Motion:
    """This model in level flight at a calibrated airspeed."""
    return motion.level(WORLD, altitude_ft * FOOT, 0.0, kcas * KNOT, 600.0, 0.0)


def after(flown: motion.Motion, *, attack: float | None = None, throttle: float | None = None) -> motion.Motion:
    """One step on."""
    return motion.advance(WORLD, flown, Controls(), 0.0, flown.attack_rad if attack is None else attack,
                          flown.throttle if throttle is None else throttle, 1.0, 0.0, 1.0, STILL)


def our_turn_dps(kcas: float, bank_deg: float) -> float:
    level = ours(kcas)
    banked = replace(level, bank_rad=bank_deg * DEG, attack_rad=level.attack_rad / math.cos(bank_deg * DEG))
    return float(after(banked).turn_radps * RAD)


def full_thrust_n(kcas: float) -> float:
    level = ours(kcas)
    pressure = atmosphere.pressure_pa(level.altitude_m)
    density = atmosphere.density(pressure, atmosphere.temperature_k(level.altitude_m))
    return float(motion.thrust_n(FLOATS, LIKE_THEIRS, motion.full_power_w(LIKE_THEIRS, density), level.tas_mps))


def drag_n(kcas: float) -> float:
    return float(ours(kcas).throttle) * full_thrust_n(kcas)


def excess_fpm(along_mps2: float, tas_mps: float) -> float:
    """Rate of climb (ft/min) that an acceleration along the path is worth: specific excess power."""
    return along_mps2 * tas_mps / G / FPM


def our_slowing_s(kcas: float, more_kt: float = 5.0) -> float:
    """Time constant of the speed after a step of throttle, from the acceleration that it makes."""
    slow, fast = ours(kcas), ours(kcas + more_kt)
    return float((fast.tas_mps - slow.tas_mps) / after(slow, throttle=fast.throttle).accel_mps2)


def their_slowing_s(kcas: float, more_kt: float = 5.0) -> float:
    slow, fast = Theirs(kcas), Theirs(kcas + more_kt)
    step = fast.tas_mps - slow.tas_mps
    return step / slow.along_mps2(fast.throttle)


def our_phugoid_s(kcas: float) -> float:
    level = ours(kcas)
    flown, seen = replace(level, tas_mps=1.05 * level.tas_mps), []
    for count in range(900):
        flown = after(flown, attack=level.attack_rad, throttle=level.throttle)
        seen.append((count * 0.1, flown.tas_mps - level.tas_mps))
    t, away = np.array(seen).T
    ups = t[1:][(away[:-1] < 0.0) & (away[1:] >= 0.0)]
    return float(np.diff(ups).mean())


def rows() -> list[tuple[str, float, float]]:
    """What is compared, this model's figure and the library's."""
    found = [(f"rate of turn, {bank:.0f} deg at {kcas:.0f} KCAS, deg/s", our_turn_dps(kcas, bank),
              Theirs(kcas, bank_deg=bank).turn_dps) for kcas, bank in ((90.0, 15.0), (100.0, 30.0), (110.0, 45.0))]
    for kcas in (60.0, 75.0, 90.0, 110.0):
        found.append((f"true airspeed at {kcas:.0f} KCAS, m/s", ours(kcas).tas_mps, Theirs(kcas).tas_mps))
        found.append((f"drag at {kcas:.0f} KCAS, N", drag_n(kcas), Theirs(kcas).thrust_n))
        theirs = Theirs(kcas)
        tas = theirs.tas_mps
        climb = excess_fpm(theirs.along_mps2(1.0), tas)
        found.append((f"thrust at full throttle, {kcas:.0f} KCAS, N", full_thrust_n(kcas), theirs.thrust_n))
        level = ours(kcas)
        found.append((f"rate of climb at full throttle, {kcas:.0f} KCAS, ft/min",
                      excess_fpm(after(level, throttle=1.0).accel_mps2, level.tas_mps), climb))
    found += [(f"speed after a step of throttle at {kcas:.0f} KCAS, s", our_slowing_s(kcas), their_slowing_s(kcas))
              for kcas in (90.0, 100.0)]
    found += [(f"phugoid at {kcas:.0f} KCAS, s", our_phugoid_s(kcas), Theirs(kcas).phugoid_s())
              for kcas in (75.0, 110.0)]
    return found


def main() -> None:
    print(f"\n{'':<56} {'here':>9} {'jsbsim':>9} {'ratio':>7}")
    for what, mine, theirs in rows():
        print(f"{what:<56} {mine:9.2f} {theirs:9.2f} {mine / theirs:7.3f}")


if __name__ == "__main__":
    main()
