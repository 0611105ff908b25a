"""From what films show to the pieces at fault and what to feel."""
