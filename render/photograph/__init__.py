"""Photographs of a golfer as a phone takes them, and what each pixel shows: many pictures from one tripod."""
