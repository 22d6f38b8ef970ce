"""Who a phone is: an id that the room made, signed so that nobody can make one, in a cookie that no script reads.

A token is good for one evening: its number is in what is signed. A form that is sent carries one as well, which a page
elsewhere cannot know.
"""

from __future__ import annotations

import re
import secrets

from itsdangerous import BadData, Signer, URLSafeSerializer

LONGEST_TOKEN = 300
WALL_LETTERS = 16
NOBODY = "nobody"

_PHONE = re.compile(r"[0-9a-f]{20}")


def new_phone() -> str:
    """Return an id for a phone that has not joined yet."""
    return secrets.token_hex(10)


class Tokens:
    """Makes and reads the tokens of one evening, signed with `key`.

    `wall` opens the wall's page. It gives no power; it only keeps phones from taking the projector's place.
    """

    def __init__(self, key: str, number: str) -> None:
        self._phones = URLSafeSerializer(key, salt=f"drill room {number} phone")
        self._forms = URLSafeSerializer(key, salt=f"drill room {number} form")
        self.wall = Signer(key, salt=f"drill room {number} wall").get_signature("wall").decode()[:WALL_LETTERS]

    def of_phone(self, phone: str) -> str:
        """Return the token of a phone."""
        return str(self._phones.dumps(phone))

    def phone(self, token: str) -> str | None:
        """Return whose token this is; None for one that was not made here, or for another evening."""
        if len(token) > LONGEST_TOKEN:
            return None
        try:
            phone = self._phones.loads(token)
        except (BadData, ValueError, RecursionError):
            return None
        return phone if isinstance(phone, str) and _PHONE.fullmatch(phone) else None

    def of_form(self, phone: str | None) -> str:
        """Return what a form sent by `phone` has to carry; None: one that has not joined yet."""
        return str(self._forms.dumps(phone or NOBODY))

    def fits_form(self, token: str, phone: str | None) -> bool:
        """Return whether a form carries what it was given, for this phone."""
        if len(token) > LONGEST_TOKEN:
            return False
        try:
            made_for = self._forms.loads(token)
        except (BadData, ValueError, RecursionError):
            return False
        return isinstance(made_for, str) and made_for == (phone or NOBODY)
