"""Where any amounts of two pieces put the head."""
