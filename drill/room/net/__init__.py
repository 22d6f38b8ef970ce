"""The evening on the network: phones and the wall, behind a gate. Nothing here can do what only the facilitator may.

Phones join, look and vote; the wall looks. What the facilitator does comes from the program's own terminal, so there is
no address by which anybody on the network could do it.
"""
