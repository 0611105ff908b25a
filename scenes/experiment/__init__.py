"""One thing tried in steps."""
