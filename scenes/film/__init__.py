"""Swings as a film that loops, or as a strip of moments."""
