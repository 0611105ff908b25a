"""Page frame, style, charts and arrows under every page."""
