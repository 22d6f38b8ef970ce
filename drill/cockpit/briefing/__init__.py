"""The briefing before a flight: situation, sketch, weather, clearance."""
