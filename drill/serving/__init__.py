"""What every server of this program has in common: its address, its door, its headers, its faults, its refusals.

The served cockpit and a room's evening stand behind it. It knows nothing of what is served.
"""
