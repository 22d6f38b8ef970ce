"""Drawings as SVG: elements whose attributes and words are escaped, with short numbers. Colors are the page's."""

from __future__ import annotations

import math

from markupsafe import Markup, escape

from drill.clean import clean


def short(value: float) -> str:
    """Return a number with at most two decimals and no needless zero; 0 for what is no finite number."""
    if not math.isfinite(value):
        return "0"
    written = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if written in ("-0", "") else written


def element(name: str, *inside: str, **attributes: float | str | None) -> Markup:
    """Return an element with what is `inside` it, in order; plain words among that are cleaned and escaped.

    `class_` is written as class, and `_` in other names as a hyphen; attributes that are None are left out.
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{short(value) if isinstance(value, int | float) else _words(value)}"'
        for key, value in attributes.items() if value is not None)
    children = "".join(each if isinstance(each, Markup) else _words(each) for each in inside)
    return Markup(f"<{name}{written}>{children}</{name}>" if children else f"<{name}{written}/>")  # noqa: S704 - escaped


def _words(text: str) -> Markup:
    return escape(" ".join(clean(text).split()))


def group(*inside: Markup, **attributes: float | str | None) -> Markup:
    """Return a group of elements."""
    return element("g", *inside, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> Markup:
    """Return a line between two points."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_)


def rectangle(x: float, y: float, width: float, height: float, class_: str, rx: float | None = None,
              fill: str | None = None) -> Markup:
    """Return a rectangle; `rx` rounds its corners."""
    return element("rect", x=x, y=y, width=max(0.0, width), height=max(0.0, height), rx=rx, class_=class_, fill=fill)


def circle(x: float, y: float, r: float, class_: str) -> Markup:
    """Return a circle."""
    return element("circle", cx=x, cy=y, r=r, class_=class_)


def words(x: float, y: float, text: str, class_: str, anchor: str = "middle") -> Markup:
    """Return words whose base line is at `y`; `anchor` says which end of them is at `x`."""
    return element("text", text, x=x, y=y, class_=class_, text_anchor=anchor)


def path(d: str, class_: str) -> Markup:
    """Return a path."""
    return element("path", d=d, class_=class_)


def picture(width: float, height: float, title: str, says: str, name: str, *inside: Markup, class_: str) -> Markup:
    """Return a whole drawing, `width` by `height` units, with its title and what it `says` for who cannot see it.

    `name` is one that no other drawing on the page has.
    """
    return element(
        "svg", element("title", title, id=f"{name}-title"), element("desc", says, id=f"{name}-says"), *inside,
        viewBox=f"0 0 {short(width)} {short(height)}", role="img", aria_labelledby=f"{name}-title {name}-says",
        class_=class_, xmlns="http://www.w3.org/2000/svg")


def at(centre: tuple[float, float], radius: float, deg: float) -> tuple[float, float]:
    """Return the point at `radius` from `centre` in the direction `deg` (0 up, clockwise)."""
    angle = math.radians(deg)
    return centre[0] + radius * math.sin(angle), centre[1] - radius * math.cos(angle)


def ray(centre: tuple[float, float], inner: float, outer: float, deg: float, class_: str) -> Markup:
    """Return a line along the radius at `deg` between two radii."""
    return line(*at(centre, inner, deg), *at(centre, outer, deg), class_)


def arc(centre: tuple[float, float], radius: float, start_deg: float, end_deg: float, class_: str) -> Markup:
    """Return an arc from `start_deg` clockwise to `end_deg`, less than a full circle."""
    (x1, y1), (x2, y2) = at(centre, radius, start_deg), at(centre, radius, end_deg)
    large = 1 if end_deg - start_deg > 180 else 0
    return path(f"M{short(x1)} {short(y1)}A{short(radius)} {short(radius)} 0 {large} 1 {short(x2)} {short(y2)}", class_)
