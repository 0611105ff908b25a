"""The body's own surface: shape, mesh, bones and skin."""
