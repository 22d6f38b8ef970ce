"""After the flight: the pilot is asked first, then told along a timeline."""
