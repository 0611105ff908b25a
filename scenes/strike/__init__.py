"""The ``strike`` command: where the club bottoms out and which way it goes at the ball, for what the body does."""
