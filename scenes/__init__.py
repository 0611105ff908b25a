"""What people do with the model: presets, simulate, compare, and the command line."""
