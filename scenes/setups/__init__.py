"""What a person asks for: presets, settings, options, and the swing that comes of it."""
