"""From asking to answer: the walk through the stages, and what a swing carries."""
