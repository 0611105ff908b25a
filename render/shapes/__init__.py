"""Solids, signed distances and seams: geometry that knows no golfer."""
