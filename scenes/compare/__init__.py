"""Two to six swings in one page."""
