"""What there is to choose from: presets and what can be set."""
