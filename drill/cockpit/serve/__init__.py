"""The cockpit in a browser, on this machine or on the network that it is told."""
